import { z } from 'zod';
import { arrivalReasons } from './reason/arrival-reasons.ts';
import { bandReasons } from './reason/band-reasons.ts';
import { bassReasons } from './reason/bass-reasons.ts';
import { chainReasons } from './reason/chain-reasons.ts';
import { checkReasons } from './reason/check-reasons.ts';
import { clippingReasons } from './reason/clipping-reasons.ts';
import { doubtReasons } from './reason/doubt-reasons.ts';
import { feedReasons } from './reason/feed-reasons.ts';
import { fileReasons } from './reason/file-reasons.ts';
import { filterReasons } from './reason/filter-reasons.ts';
import { installReasons } from './reason/install-reasons.ts';
import { protectionReasons } from './reason/protection-reasons.ts';
import { recordReasons } from './reason/record-reasons.ts';
import { restorationReasons } from './reason/restoration-reasons.ts';
import { seatReasons } from './reason/seat-reasons.ts';
import { takeReasons } from './reason/take-reasons.ts';

/**
 * Every reason, doubt, remark, note and limit is a code with the figures that it is worded with. The codes stand in
 * `reason/` by subject, their words in `src/words/reason/`: nothing reads structure back out of a sentence.
 */
const figuresOfCode = {
  ...arrivalReasons,
  ...bandReasons,
  ...bassReasons,
  ...checkReasons,
  ...clippingReasons,
  ...doubtReasons,
  ...fileReasons,
  ...recordReasons,
  ...takeReasons,
  ...chainReasons,
  ...installReasons,
  ...feedReasons,
  ...filterReasons,
  ...protectionReasons,
  ...restorationReasons,
  ...seatReasons,
} as const satisfies Record<string, z.ZodRawShape>;

type FiguresOfCode = typeof figuresOfCode;
export type ReasonCode = keyof FiguresOfCode;
export type CodedReason = {
  [Code in ReasonCode]: { code: Code } & {
    -readonly [Figure in keyof FiguresOfCode[Code]]: z.infer<FiguresOfCode[Code][Figure] & z.ZodType>;
  };
}[ReasonCode];

/** A sentence stands where an older results file, or a place not yet turned into a code, has one. */
export type Reason = CodedReason | string;

const options = Object.entries(figuresOfCode).map(([code, figures]) =>
  z.object({ code: z.literal(code), ...figures }),
);
export const reasonSchema = z.union([
  z.string(),
  z.discriminatedUnion('code', options as unknown as [(typeof options)[number]]),
]) as unknown as z.ZodType<Reason, Reason>;

export const reasonCodes = Object.keys(figuresOfCode) as ReasonCode[];

/** Two reasons are the same where code and figures are. */
export function isSameReason(one: Reason, other: Reason): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

/** What a reason is about, to compare without its words; null for a sentence of an older file. */
export function codeOf(reason: Reason | null): ReasonCode | null {
  return reason === null || typeof reason === 'string' ? null : reason.code;
}
