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
import { groundReasons } from './reason/ground-reasons.ts';
import { installReasons } from './reason/install-reasons.ts';
import { limitReasons } from './reason/limit-reasons.ts';
import { nextTakeReasons } from './reason/next-take-reasons.ts';
import { proofReasons } from './reason/proof-reasons.ts';
import { protectionReasons } from './reason/protection-reasons.ts';
import { recordReasons } from './reason/record-reasons.ts';
import { restorationReasons } from './reason/restoration-reasons.ts';
import { seatReasons } from './reason/seat-reasons.ts';
import { sessionReasons } from './reason/session-reasons.ts';
import { sourceReasons } from './reason/source-reasons.ts';
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
  ...proofReasons,
  ...nextTakeReasons,
  ...limitReasons,
  ...groundReasons,
  ...feedReasons,
  ...filterReasons,
  ...protectionReasons,
  ...restorationReasons,
  ...seatReasons,
  ...sessionReasons,
  /** What people wrote themselves, or an older version of the tool: it is shown, never read. */
  'as written': { text: z.string() },
  ...sourceReasons,
} as const satisfies Record<string, z.ZodRawShape>;

type FiguresOfCode = typeof figuresOfCode;
export type ReasonCode = keyof FiguresOfCode;
export type Reason = {
  [Code in ReasonCode]: { code: Code } & {
    -readonly [Figure in keyof FiguresOfCode[Code]]: z.infer<FiguresOfCode[Code][Figure] & z.ZodType>;
  };
}[ReasonCode];

const options = Object.entries(figuresOfCode).map(([code, figures]) =>
  z.object({ code: z.literal(code), ...figures }),
);
/** Older results files have a sentence where newer ones have a code. */
export const reasonSchema = z.preprocess(
  (value) => (typeof value === 'string' ? asWritten(value) : value),
  z.discriminatedUnion('code', options as unknown as [(typeof options)[number]]),
) as unknown as z.ZodType<Reason, Reason>;

export const reasonCodes = Object.keys(figuresOfCode) as ReasonCode[];

/** Two reasons are the same where code and figures are. */
export function isSameReason(one: Reason, other: Reason): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

/** What a reason is about, to compare without its figures; null where there is none. */
export function codeOf(reason: Reason | null): ReasonCode | null {
  return reason?.code ?? null;
}

export function asWritten(text: string): Reason {
  return { code: 'as written', text };
}
