import type { Results } from '../../model/results.ts';
import type { Anchors } from '../anchors.ts';
import type { Chart } from '../charts/figure.ts';
import { type Html, html } from '../html.ts';
import type { TapLabel } from '../wording/statement.ts';

/** What the sections share. */
export interface PageParts {
  readonly results: Results;
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

/** "Picture: ..., ...": links to the pictures that show a finding or a recommendation. */
export function pictureLinks({ pictures }: PageParts, id: string): Html {
  const charts = (pictures.get(id) ?? []).map((chart) => ({ anchor: chart.id, text: chart.title }));
  return namedLinks('Picture', charts);
}

/** "Rests on: ..., ...": links to what a recommendation follows from; unknown ids are left out. */
export function restsOnLinks({ anchors, titles }: PageParts, ids: readonly string[]): Html {
  const known = ids.flatMap((id) => {
    const anchor = anchors.of(id);
    return anchor === null ? [] : [{ anchor, text: titles.get(id) ?? id }];
  });
  if (known.length <= LINKS_IN_SIGHT) return namedLinks('Rests on', known);
  return html`<details class="evidence"><summary>Rests on ${known.length} findings</summary>${namedLinks('These', known)}</details>`;
}

/** More links than this are opened on request. */
const LINKS_IN_SIGHT = 4;

function namedLinks(name: string, targets: readonly { anchor: string; text: string }[]): Html {
  if (targets.length === 0) return html``;
  const list = targets.map(
    ({ anchor, text }, i) => html`${i === 0 ? '' : ', '}<a href="#${anchor}">${text}</a>`,
  );
  return html`<p class="links">${name}: ${list}</p>`;
}
