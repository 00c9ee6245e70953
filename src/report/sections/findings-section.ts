import type { Evidence } from '../../model/evidence.ts';
import type { Finding } from '../../model/finding.ts';
import type { Anchors } from '../anchors.ts';
import { formatFileTime, formatSetting } from '../format.ts';
import { type Html, html } from '../html.ts';
import { findingWords } from '../wording.ts';
import { type PageParts, pictureLinks } from './page-parts.ts';
import { statementList } from './statements.ts';

/** Every finding in words, with the takes that it comes from. */
export function findingsSection(parts: PageParts): Html {
  return html`<section id="findings"><h2>What was found</h2><div>${parts.results.findings.map((finding) =>
    article(finding, parts),
  )}</div></section>`;
}

function article(finding: Finding, parts: PageParts): Html {
  const { anchors, titles, label } = parts;
  const { statements } = findingWords(finding, label);
  return html`<article id="${anchors.of(finding.id) ?? ''}"><h3>${titles.get(finding.id) ?? finding.kind}</h3>${statementList(statements)}
${pictureLinks(parts, finding.id)}${evidenceDetails(finding.evidence, anchors)}</article>`;
}

function evidenceDetails(evidence: readonly Evidence[], anchors: Anchors): Html {
  if (evidence.length === 0) return html``;
  const sources = [...new Set(evidence.map(sourceOf))];
  const lists = sources.map((source) => {
    const takes = evidence.filter((take) => sourceOf(take) === source);
    const [{ file, channel }] = takes;
    return html`<li>${file}, channel ${channel}: ${takes.map((take, i) => html`${i === 0 ? '' : ', '}${takeLink(take, anchors)}`)}</li>`;
  });
  const count = `${evidence.length} ${evidence.length === 1 ? 'take' : 'takes'}`;
  return html`<details class="evidence"><summary>From ${count}</summary><ul>${lists}</ul></details>`;
}

function sourceOf({ file, channel }: Evidence): string {
  return JSON.stringify([file, channel]);
}

function takeLink(take: Evidence, anchors: Anchors): Html {
  const text = `setting ${formatSetting(take.setting)} at ${formatFileTime(take.takeStartSeconds)}`;
  const anchor = anchors.ofTake(take);
  return anchor === null ? html`${text}` : html`<a href="#${anchor}">${text}</a>`;
}
