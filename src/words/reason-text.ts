import type { CodedReason, Reason, ReasonCode } from '../model/reason.ts';
import { gainReasonWords } from './reason/gain-reason-words.ts';

/** The words of some codes; the compiler asks for those that are missing. */
export type ReasonWords<Code extends ReasonCode = ReasonCode> = {
  readonly [One in Code]: (figures: Extract<CodedReason, { code: One }>) => string;
};

const words: ReasonWords = {
  ...gainReasonWords,
};

/** A reason as a clause: no capital, no full stop, so that it can stand alone or behind "because". */
export function reasonText(reason: Reason): string {
  if (typeof reason === 'string') return reason;
  return (words[reason.code] as (figures: CodedReason) => string)(reason);
}
