import type { Results } from '../../model/results.ts';
import type { Anchors } from '../anchors.ts';
import type { Chart } from '../charts/figure.ts';
import type { FindingGroup } from '../finding-groups.ts';
import { type Html, html } from '../html.ts';
import type { TapLabel } from '../wording/statement.ts';

/** What the sections share. */
export interface PageParts {
  readonly results: Results;
  readonly groups: readonly FindingGroup[];
  readonly anchors: Anchors;
  readonly label: TapLabel;
  /** Headings of findings and recommendations, by id. */
  readonly titles: ReadonlyMap<string, string>;
  /** Which pictures show a finding or a recommendation, by its id. */
  readonly pictures: ReadonlyMap<string, readonly Chart[]>;
}

export function picturesById(charts: readonly Chart[]): PageParts['pictures'] {
  const pictures = new Map<string, Chart[]>();
  for (const chart of charts) {
    for (const id of chart.shows) pictures.set(id, [...(pictures.get(id) ?? []), chart]);
  }
  return pictures;
}

/** "Picture: ..., ...": links to the pictures that show findings or a recommendation. */
export function pictureLinks({ pictures }: PageParts, ids: readonly string[]): Html {
  const charts = [...new Set(ids.flatMap((id) => pictures.get(id) ?? []))];
  return namedLinks(
    charts.length > 1 ? 'Pictures' : 'Picture',
    charts.map(({ id, title }) => ({ anchor: id, text: title })),
  );
}

/** More findings than this are named by their numbers. */
const NAMED_AT_MOST = 3;

/** "Rests on ...": links to what a recommendation follows from; unknown ids are left out. */
export function restsOnLinks({ anchors, titles }: PageParts, ids: readonly string[]): Html {
  const known = new Map(
    ids.flatMap((id) => {
      const anchor = anchors.of(id);
      return anchor === null ? [] : [[anchor, { anchor, text: titles.get(id) ?? id, id }] as const];
    }),
  );
  const targets = [...known.values()];
  const numbered = targets.flatMap(({ anchor, text, id }) => {
    const number = anchors.findingNumber(id);
    return number === null ? [] : [{ anchor, text, number }];
  });
  if (targets.length <= NAMED_AT_MOST || numbered.length < targets.length)
    return namedLinks('Rests on', targets);
  const list = numbered
    .sort((a, b) => a.number - b.number)
    .map(
      ({ anchor, text, number }, i) =>
        html`${i === 0 ? '' : ', '}<a href="#${anchor}" title="${text}" aria-label="finding ${number}">${number}</a>`,
    );
  return html`<p class="links">Rests on findings ${list}</p>`;
}

function namedLinks(name: string, targets: readonly { anchor: string; text: string }[]): Html {
  if (targets.length === 0) return html``;
  const list = targets.map(
    ({ anchor, text }, i) => html`${i === 0 ? '' : ', '}<a href="#${anchor}">${text}</a>`,
  );
  return html`<p class="links">${name}: ${list}</p>`;
}
