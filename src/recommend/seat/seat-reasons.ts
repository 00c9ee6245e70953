import { decibels } from '../../dsp/decibels.ts';
import type { MeasuredOrReason } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';

type Seat = AdviceOf<'seat'>;

/** What a level knob is worth moving for (common practice). */
export const WORTH_A_TRIM_DB = 3;

export function polarityReasons(polarity: Seat['polarity'], gainDb: number | null): Reason[] {
  switch (polarity) {
    case 'inverted':
    case 'as wired':
      return [{ code: 'fuller as it is', polarity }];
    case 'no difference':
      return [{ code: 'both polarities alike' }];
    case 'cannot be told':
      return [{ code: gainDb === null ? 'set the level first' : 'takes leave it open' }];
  }
}

/** From here on even the better polarity loses a decibel and more against sounds in step. */
const QUARTER_TURN_FROM_DEGREES = 60;

export function quarterTurnReasons(phase: MeasuredOrReason, frequencyHz: number): Reason[] {
  if (!('value' in phase)) return [];
  const degrees = Math.min(phase.value, 180 - phase.value);
  if (degrees < QUARTER_TURN_FROM_DEGREES) return [];
  const lostDb = -decibels(Math.cos((degrees * Math.PI) / 360));
  return [{ code: 'a quarter turn apart', lostDb, seconds: degrees / 360 / frequencyHz }];
}

export function trimReasons(trimDb: number, cornerHz: number): Reason[] {
  return Math.abs(trimDb) <= WORTH_A_TRIM_DB ? [] : [{ code: 'trim the subwoofer', trimDb, cornerHz }];
}
