import {
  isNotMeasurable,
  type Measured,
  type MeasuredOrReason,
  type NotMeasurable,
} from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import { ofSettings } from '../../words/figures.ts';
import { reasonText } from '../../words/reason-text.ts';
import { type Sentence, say } from '../sentence.ts';

/** One sentence of a finding. `told` is false where it says what cannot be told, and why. */
export interface Statement {
  readonly sentence: Sentence;
  readonly known: boolean;
}

export interface FindingWords {
  /** What was looked at, without the tap. */
  readonly subject: string;
  /** The verdict first, then what there is to know about it. */
  readonly statements: readonly Statement[];
}

/** The label that people gave a tap, by its id. */
export type TapLabel = (tapId: string) => string;

export function known(sentence: Sentence): Statement {
  return { sentence, known: true };
}

export function notKnown({
  what,
  reason,
  recordNext,
}: {
  what: string;
  reason: Reason | string;
  recordNext?: Reason | string | undefined;
}): Statement {
  const next = recordNext === undefined ? '' : ` To find out, record ${asClause(recordNext)}.`;
  return {
    sentence: say`Not known: ${lowerFirst(what)}. ${capitalised(asClause(reason))}.${next}`,
    known: false,
  };
}

/** States a number, or why there is none. */
export function measuredOr({
  what,
  answer,
  sentence,
}: {
  what: string;
  answer: MeasuredOrReason;
  sentence: (value: Measured) => Sentence;
}): Statement {
  if (isNotMeasurable(answer)) return whyNotKnown(what, answer);
  return known(sentence(answer));
}

export function whyNotKnown(what: string, { notMeasurable, recordNext }: NotMeasurable): Statement {
  return notKnown({ what, reason: notMeasurable, recordNext });
}

/** Settings that cannot be answered, by their common reason: one sentence for each reason instead of one a setting. */
export function settingsByReason(
  rows: readonly { readonly setting: number; readonly answer: MeasuredOrReason }[],
): { settings: string; reason: Reason; recordNext?: Reason | undefined }[] {
  const groups = new Map<string, { settings: number[]; answer: NotMeasurable }>();
  for (const { setting, answer } of rows) {
    if (!isNotMeasurable(answer)) continue;
    const key = JSON.stringify(answer.notMeasurable);
    const group = groups.get(key) ?? { settings: [], answer };
    if (!group.settings.includes(setting)) group.settings.push(setting);
    groups.set(key, group);
  }
  return [...groups.values()].map(({ settings, answer }) => ({
    settings: ofSettings(settings),
    reason: answer.notMeasurable,
    recordNext: answer.recordNext,
  }));
}

/** "setting 30", "settings 30 and 34". */

/** A reason may come as a sentence of its own: makes it a clause, its minus signs as everywhere in the report. */
export function asClause(reason: Reason | string): string {
  const open = (typeof reason === 'string' ? reason : reasonText(reason))
    .trim()
    .replace(/\.$/, '')
    .replace(/^because /i, '')
    .replace(/^record /i, '')
    .replace(/(?<=^|\s)-(?=\d)/g, '\u2212');
  return lowerFirst(open);
}

/** A name in capitals keeps them. */
function lowerFirst(text: string): string {
  const startsWithName = /^[A-Z]{2}|^[A-Z][^a-z]|^Steptone/.test(text);
  return startsWithName ? text : text.charAt(0).toLowerCase() + text.slice(1);
}

export function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

export interface RecommendationWords {
  readonly title: string;
  /** Of which feed or group it speaks, where there are several of its kind. */
  readonly of?: string;
  /** What to do first, then what there is to know about it. */
  readonly statements: readonly Statement[];
  /** Numbers that are better read in rows. */
  readonly table?: WordTable;
  /** Its row in the settings to dial in; null where there is nothing to set. */
  readonly step: Step | null;
}

export interface WordTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly Sentence[])[];
}

/** One thing to set, and the reading that shows that it is right. */
export interface Step {
  readonly where: string;
  readonly setTo: Sentence;
  readonly check: Sentence;
  /** False where it cannot be set until something is recorded or measured. */
  readonly known: boolean;
}
