import type { Reason } from '../model/reason.ts';
import { arrivalReasonWords } from './reason/arrival-reason-words.ts';
import { bandReasonWords } from './reason/band-reason-words.ts';
import { bassReasonWords } from './reason/bass-reason-words.ts';
import { chainReasonWords } from './reason/chain-reason-words.ts';
import { checkReasonWords } from './reason/check-reason-words.ts';
import { clippingReasonWords } from './reason/clipping-reason-words.ts';
import { doubtReasonWords } from './reason/doubt-reason-words.ts';
import { feedReasonWords } from './reason/feed-reason-words.ts';
import { fileReasonWords } from './reason/file-reason-words.ts';
import { filterReasonWords } from './reason/filter-reason-words.ts';
import { groundReasonWords } from './reason/ground-reason-words.ts';
import { installReasonWords } from './reason/install-reason-words.ts';
import { limitReasonWords } from './reason/limit-reason-words.ts';
import { nextTakeReasonWords } from './reason/next-take-reason-words.ts';
import { proofReasonWords } from './reason/proof-reason-words.ts';
import { protectionReasonWords } from './reason/protection-reason-words.ts';
import type { ReasonWords } from './reason/reason-words.ts';
import { recordReasonWords } from './reason/record-reason-words.ts';
import { restorationReasonWords } from './reason/restoration-reason-words.ts';
import { seatReasonWords } from './reason/seat-reason-words.ts';
import { sessionReasonWords } from './reason/session-reason-words.ts';
import { sourceReasonWords } from './reason/source-reason-words.ts';
import { takeReasonWords } from './reason/take-reason-words.ts';

const words: ReasonWords = {
  ...arrivalReasonWords,
  ...bandReasonWords,
  ...bassReasonWords,
  ...checkReasonWords,
  ...clippingReasonWords,
  ...doubtReasonWords,
  ...fileReasonWords,
  ...recordReasonWords,
  ...takeReasonWords,
  ...chainReasonWords,
  ...installReasonWords,
  ...proofReasonWords,
  ...nextTakeReasonWords,
  ...limitReasonWords,
  ...groundReasonWords,
  ...feedReasonWords,
  ...filterReasonWords,
  ...protectionReasonWords,
  ...restorationReasonWords,
  ...seatReasonWords,
  ...sessionReasonWords,
  'as written': ({ text }) => text,
  ...sourceReasonWords,
};

/** A reason as a clause: no capital, no full stop, so that it can stand alone or behind "because". */
export function reasonText(reason: Reason): string {
  return (words[reason.code] as (figures: Reason) => string)(reason);
}
