import type { Finding } from '../model/finding.ts';
import type { Results } from '../model/results.ts';
import { listed } from '../words/figures.ts';
import { plainText, type Sentence } from './sentence.ts';
import { tapsOf } from './verdicts/answer.ts';
import type { Statement, TapLabel } from './wording/statement.ts';
import { findingWords } from './wording.ts';

/** Findings on one subject that say the same of several taps, but for figures. */
export interface FindingGroup {
  readonly findings: readonly [Finding, ...Finding[]];
  /** The subject and the taps: what headings and links call it. */
  readonly title: string;
  readonly lines: readonly GroupLine[];
}

interface GroupLine extends Statement {
  /** Whose figures these are; null where they hold for every finding of the group. */
  readonly of: string | null;
  /** Of its statement among those of the finding; the verdict is 0. */
  readonly place: number;
}

/**
 * Every finding, those of like words together, so that a pair of taps is read once. Nothing is lost: where figures
 * differ, each stands with its taps. In the order in which the findings come.
 */
export function findingGroups(results: Results, label: TapLabel): FindingGroup[] {
  const groups = new Map<string, [Worded, ...Worded[]]>();
  for (const finding of results.findings) {
    const worded = { finding, ...findingWords(finding, label) };
    const key = wordsWithoutFigures(worded);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [worded]);
    else group.push(worded);
  }
  return [...groups.values()].map((group) => ({
    findings: group.map(({ finding }) => finding) as [Finding, ...Finding[]],
    title: title(results, group, label),
    lines: group[0].statements.flatMap((_, i) => linesAt(group, i, label)),
  }));
}

interface Worded {
  readonly finding: Finding;
  readonly subject: string;
  readonly statements: readonly Statement[];
}

/** Subject and sentences without their figures. */
function wordsWithoutFigures({ finding, subject, statements }: Worded): string {
  const words = statements.map(({ sentence, known }) => [known, withoutFigures(sentence)]);
  return JSON.stringify([finding.kind, finding.tapIds.length, subject, words]);
}

const FIGURE = /[\u2212-]?\d[\d.]*(\s(µV|mV|V|Hz|kHz|µs|ms)\b)?/g;

function withoutFigures(sentence: Sentence): string {
  return plainText(sentence).replace(FIGURE, '#');
}

function title(results: Results, group: readonly [Worded, ...Worded[]], label: TapLabel): string {
  const [{ finding, subject }] = group;
  const taps =
    finding.tapIds.length > 1
      ? pairs(group, label)
      : tapsOf(
          results,
          group.map((one) => one.finding),
          label,
        );
  return taps === '' ? subject : `${subject}: ${taps}`;
}

/** "a and b with c" where all are held against the same tap, else "a with b, c with d". */
function pairs(group: readonly Worded[], label: TapLabel): string {
  const against = new Set(group.map(({ finding }) => JSON.stringify(finding.tapIds.slice(1))));
  const [{ finding }] = group;
  if (against.size > 1) return group.map((one) => named(one, label)).join(', ');
  const firsts = group.map((one) => label(one.finding.tapIds[0]));
  return `${listed(firsts)} with ${listed(finding.tapIds.slice(1).map(label))}`;
}

function named({ finding: { tapIds } }: Worded, label: TapLabel): string {
  return tapIds.map(label).join(' with ');
}

function linesAt(group: readonly Worded[], i: number, label: TapLabel): GroupLine[] {
  const lines = new Map<string, { statement: Statement; taps: string[] }>();
  for (const one of group) {
    const statement = one.statements[i];
    const text = plainText(statement.sentence);
    const line = lines.get(text) ?? { statement, taps: [] };
    line.taps.push(named(one, label));
    lines.set(text, line);
  }
  const single = lines.size === 1;
  return [...lines.values()].map(({ statement, taps }) => ({
    ...statement,
    of: single ? null : listed(taps),
    place: i,
  }));
}
