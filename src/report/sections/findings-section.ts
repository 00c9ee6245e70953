import type { Evidence } from '../../model/evidence.ts';
import type { Anchors } from '../anchors.ts';
import type { FindingGroup } from '../finding-groups.ts';
import { formatFileTime, formatSetting } from '../format.ts';
import { type Html, html } from '../html.ts';
import { sentenceHtml } from '../sentence.ts';
import type { TakeRow } from '../take-rows.ts';
import { type PageParts, pictureLinks } from './page-parts.ts';
import { knownClass, more } from './statements.ts';

/** Every finding in words, with the takes that it comes from. */
export function findingsSection(parts: PageParts): Html {
  return html`<section id="findings"><h2>What was found</h2><div>${parts.groups.map((group) =>
    article(group, parts),
  )}</div></section>`;
}

function article({ findings, title, lines }: FindingGroup, parts: PageParts): Html {
  const { anchors } = parts;
  const [{ id }] = findings;
  const evidence = findings.flatMap((finding) => finding.evidence);
  const rest = html`${lineList(lines.filter(({ place }) => place > 0))}${pictureLinks(
    parts,
    findings.map((finding) => finding.id),
  )}${takeLinks(evidence, anchors)}`;
  return html`<article id="${anchors.of(id) ?? ''}"><h3><span class="number">${anchors.findingNumber(id) ?? ''}</span> ${title}</h3>
${lineList(lines.filter(({ place }) => place === 0))}${more('Figures and takes', rest)}</article>`;
}

function lineList(lines: FindingGroup['lines']): Html {
  if (lines.length === 0) return html``;
  return html`<ul class="statements">${lines.map((line) => html`<li class="${knownClass(line)}">${line.of === null ? '' : html`<b>${line.of}:</b> `}${sentenceHtml(line.sentence)}</li>`)}</ul>`;
}

/** "From takes 1 to 8 and 17": rows among the recordings, which name file, channel and time. */
function takeLinks(evidence: readonly Evidence[], anchors: Anchors): Html {
  const rows = [...new Set(evidence.flatMap((take) => anchors.rowOf(take) ?? []))].sort(
    (a, b) => a.number - b.number,
  );
  if (rows.length === 0) return html``;
  const name = rows.length === 1 ? 'From take' : 'From takes';
  return html`<p class="links">${name} ${runs(rows).map(
    (run, i) =>
      html`${i === 0 ? '' : ', '}${takeLink(run[0])}${run.length === 1 ? '' : html` to ${takeLink(run[run.length - 1])}`}`,
  )}</p>`;
}

/** Rows that follow one another, together. */
function runs(rows: readonly TakeRow[]): [TakeRow, ...TakeRow[]][] {
  const all: [TakeRow, ...TakeRow[]][] = [];
  for (const row of rows) {
    const last = all.at(-1);
    if (last !== undefined && last[last.length - 1].number + 1 === row.number) last.push(row);
    else all.push([row]);
  }
  return all;
}

function takeLink({ anchor, number, evidence }: TakeRow): Html {
  const where = `${evidence.file} at ${formatFileTime(evidence.takeStartSeconds)}, setting ${formatSetting(evidence.setting)}`;
  return html`<a href="#${anchor}" title="${where}" aria-label="take ${number}">${number}</a>`;
}
