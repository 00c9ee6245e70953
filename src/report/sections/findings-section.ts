import type { Evidence } from '../../model/evidence.ts';
import type { Finding } from '../../model/finding.ts';
import type { Results } from '../../model/results.ts';
import type { Anchors } from '../anchors.ts';
import { formatFileTime, formatSetting } from '../format.ts';
import { type Html, html } from '../html.ts';
import type { TapLabel } from '../wording/statement.ts';
import { findingWords } from '../wording.ts';
import { type Pictures, pictureLinks } from './picture-links.ts';
import { statementList } from './statements.ts';

/** Every finding in words, with the takes that it comes from; tap by tap, as the results list them. */
export function findingsSection({
  results,
  anchors,
  label,
  pictures,
}: {
  results: Results;
  anchors: Anchors;
  label: TapLabel;
  pictures: Pictures;
}): Html {
  return html`<section id="findings"><h2>What was found</h2>${results.findings.map((finding) => article(finding))}</section>`;

  function article(finding: Finding): Html {
    const { subject, statements } = findingWords(finding, label);
    const taps = finding.tapIds.map(label).join(', ');
    return html`<article id="${anchors.of(finding.id) ?? ''}"><h3>${subject}${taps === '' ? '' : `: ${taps}`}</h3>${statementList(statements)}
<p class="rests">${pictureLinks(pictures, finding.id)}</p>${evidenceDetails(finding.evidence, anchors)}</article>`;
  }
}

function evidenceDetails(evidence: readonly Evidence[], anchors: Anchors): Html {
  if (evidence.length === 0) return html``;
  const files = [...new Set(evidence.map(({ file, channel }) => JSON.stringify([file, channel])))];
  const lists = files.map((key) => {
    const takes = evidence.filter(({ file, channel }) => JSON.stringify([file, channel]) === key);
    const [{ file, channel }] = takes;
    return html`<li>${file}, channel ${channel}: ${takes.map((take, i) => html`${i === 0 ? '' : ', '}${takeLink(take, anchors)}`)}</li>`;
  });
  const count = `${evidence.length} ${evidence.length === 1 ? 'take' : 'takes'}`;
  return html`<details class="evidence"><summary>From ${count}</summary><ul>${lists}</ul></details>`;
}

function takeLink(take: Evidence, anchors: Anchors): Html {
  const text = `setting ${formatSetting(take.setting)} at ${formatFileTime(take.takeStartSeconds)}`;
  const anchor = anchors.ofTake(take);
  return anchor === null ? html`${text}` : html`<a href="#${anchor}">${text}</a>`;
}
