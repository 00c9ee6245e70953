import type { MeasuredOrReason } from '../../model/measured.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';

type Seat = RecommendationOf<'seat'>;

/** What a level knob is worth moving for (common practice). */
export const WORTH_A_TRIM_DB = 3;

export function polarityReasons(polarity: Seat['polarity'], gainDb: number | null): string[] {
  switch (polarity) {
    case 'inverted':
      return ['the hand-over is fuller with the subwoofer inverted'];
    case 'as wired':
      return ['the hand-over is fuller with the subwoofer as wired'];
    case 'no difference':
      return ['both polarities sum alike'];
    case 'cannot be told':
      return [
        gainDb === null
          ? 'subwoofer and mains do not meet in level: set the level first, then repeat the takes'
          : 'the takes leave both answers open',
      ];
  }
}

/** From here on even the better polarity loses a decibel and more against sounds in step. */
const QUARTER_TURN_FROM_DEGREES = 60;

export function quarterTurnReasons(phase: MeasuredOrReason, frequencyHz: number): string[] {
  if (!('value' in phase)) return [];
  const degrees = Math.min(phase.value, 180 - phase.value);
  if (degrees < QUARTER_TURN_FROM_DEGREES) return [];
  const lostDb = -20 * Math.log10(Math.cos((degrees * Math.PI) / 360));
  const milliseconds = (1000 * degrees) / 360 / frequencyHz;
  return [
    `they stand about a quarter turn apart, which costs ${lostDb.toFixed(1)} dB in the better polarity: move the subwoofer’s low-pass a third of an octave, or delay the nearer one by ${milliseconds.toFixed(1)} ms, repeat the takes and keep what is fuller`,
  ];
}

export function trimReasons(trimDb: number, cornerHz: number): string[] {
  if (Math.abs(trimDb) <= WORTH_A_TRIM_DB) return [];
  const [turn, stands] = trimDb > 0 ? ['up', 'under'] : ['down', 'over'];
  const by = Math.abs(trimDb).toFixed(1);
  return [
    `turn the subwoofer ${turn} by ${by} dB: at the corner of ${Math.round(cornerHz)} Hz it stands that far ${stands} the mains`,
  ];
}
