import type { Reason, ReasonCode } from '../../model/reason.ts';

/** The words of some codes; the compiler asks for those that are missing. */
export type ReasonWords<Code extends ReasonCode = ReasonCode> = {
  readonly [One in Code]: (figures: Extract<Reason, { code: One }>) => string;
};
