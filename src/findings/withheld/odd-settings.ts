import { decibels } from '../../dsp/decibels.ts';
import { median } from '../../dsp/statistics.ts';
import { delayBetween, movedEarlier } from '../../measure/sweeps/delay-between.ts';
import { type Doubt, touches } from '../../model/doubt.ts';
import { gridFrequencyHz, nearestPoint } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import { type FrequencyResponse, TRUSTED_SNR_DB } from '../../model/response.ts';
import type { Session, Tap } from '../../model/session.ts';
import { commonBand, levelProfile, strongestLevelDb, trustedPoints } from '../bass/level-profile.ts';
import { oddArrivals } from './odd-arrivals.ts';
import { oddShapes } from './odd-shapes.ts';
import { middleOf, type OneTap, oneTap } from './one-tap.ts';
import { unevenLevels } from './uneven-levels.ts';

/** A band reaches as far as it is within this of its strongest. */
const BAND_DB = 20;
/** Bass that a radio takes away moves a lower end by two octaves (a high-pass that climbs from 20 to 110 Hz), an upper end by none. */
const UPPER_END_OCTAVES = 1;
const LOWER_END_OCTAVES = 3;
/** Polarity is read above the bass, whose phase turns with what is taken from it. */
const SIGN_FROM_HZ = 300;
/** Taps that end below this are left out: a high-pass that climbs through a narrow band looks like turned leads and a delay. */
const SIGN_UP_TO_HZ = 2000;
/** Likeness from which two responses are one, turned or not: leads that were turned make it 1 and -1. */
const ALIKE = 0.8;
/** One that stands off needs two that agree. */
const FEWEST_SETTINGS = 3;
/** One step of the level that stands out of all others by this, where they agree within the other (common practice: laws are even). */
const JUMP_DB = 2.5;
const EVEN_DB = 0.75;
/** By less where they agree closely: a radio of even steps keeps to them. */
const SMALL_JUMP_DB = 1.5;
const VERY_EVEN_DB = 0.2;
/** Channels of one recorder jump alike. */
const SAME_JUMP_DB = 0.5;
const FEWEST_STEPS = 3;

/**
 * Settings at which a tap is not what it is at its others: another band or the opposite polarity (leads exchanged or turned),
 * a level that jumps once on all taps alike (the recorder's gain turned) or stands off the line of its neighbours, and an arrival
 * that moves against the other taps. No radio does so with its volume.
 */
export function oddSettingDoubts(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  /** What is said of the takes themselves: a knock needs no second cause. */
  doubts?: readonly Doubt[] | undefined;
}): Doubt[] {
  const taps = of.session.taps.flatMap((tap): OneTap[] => {
    const measurements = of.measurements
      .filter(({ tapId }) => tapId === tap.id)
      .sort((one, other) => one.setting - other.setting);
    return measurements.length < FEWEST_SETTINGS ? [] : [oneTap(tap, measurements)];
  });
  const unlike = taps.flatMap(unlikeTheRest);
  const alike = taps.map(({ tap, takes }) => ({
    tap,
    takes: takes.filter(({ setting }) => !unlike.some((doubt) => touches(doubt, { tapId: tap.id, setting }))),
  }));
  return [
    ...unlike,
    ...commonJump(taps),
    ...unevenLevels(alike),
    ...oddShapes(withoutDoubted(alike, of.doubts ?? [])),
    ...oddArrivals(alike),
  ];
}

function withoutDoubted(taps: readonly OneTap[], doubts: readonly Doubt[]): OneTap[] {
  const spoils = doubts.filter(({ kind }) => kind === 'take' || kind === 'setting' || kind === 'gain');
  return taps.map(({ tap, takes }) => ({
    tap,
    takes: takes.filter(({ setting }) => !spoils.some((doubt) => touches(doubt, { tapId: tap.id, setting }))),
  }));
}

function unlikeTheRest({ tap, takes }: OneTap): Doubt[] {
  if (takes.length < FEWEST_SETTINGS) return [];
  const bands = takes.map(({ response }) => bandEnds(response));
  const usual = {
    lowOctave: median(bands.map(({ lowOctave }) => lowOctave)),
    highOctave: median(bands.map(({ highOctave }) => highOctave)),
  };
  const otherBand = takes.filter(({ response }, i) => {
    const { lowOctave, highOctave } = bands[i];
    return (
      (Math.abs(highOctave - usual.highOctave) > UPPER_END_OCTAVES &&
        isClear(response, Math.max(highOctave, usual.highOctave))) ||
      (Math.abs(lowOctave - usual.lowOctave) > LOWER_END_OCTAVES &&
        isClear(response, Math.min(lowOctave, usual.lowOctave)))
    );
  });
  const alike = takes.filter((take) => !otherBand.includes(take));
  const turned = turnedAmong(alike);
  return [
    ...doubtOf('another band than at other settings', tap, otherBand, takes.length),
    ...doubtOf('opposite polarity to other settings', tap, turned, alike.length),
  ];
}

/** Whether a band that reached out to there would have been seen: noise alone ends none. */
function isClear(response: FrequencyResponse, octave: number): boolean {
  const noiseDb = decibels(response.sigma[nearestPoint(2 ** octave)] * Math.SQRT2);
  return noiseDb < strongestLevelDb(levelProfile(response)) - BAND_DB - TRUSTED_SNR_DB;
}

/** The fewer are in doubt; where they are half, all are. */
function doubtOf(
  code: 'another band than at other settings' | 'opposite polarity to other settings',
  tap: Tap,
  odd: OneTap['takes'],
  count: number,
): Doubt[] {
  if (odd.length === 0) return [];
  const settings = odd.map(({ setting }) => setting);
  const half = 2 * odd.length === count;
  return [{ kind: 'take', reason: { code, settings }, tapIds: [tap.id], settings: half ? null : settings }];
}

/** Ends of the band in octaves above 1 Hz. */
function bandEnds(response: FrequencyResponse): { lowOctave: number; highOctave: number } {
  const profile = levelProfile(response);
  const floorDb = strongestLevelDb(profile) - BAND_DB;
  const strong = trustedPoints(profile).filter((i) => profile.levelDb[i] >= floorDb);
  return {
    lowOctave: Math.log2(gridFrequencyHz[strong[0]]),
    highOctave: Math.log2(gridFrequencyHz[strong[strong.length - 1]]),
  };
}

/** Those of the smaller group, of two groups of opposite polarity; none where all are of one. */
function turnedAmong(takes: OneTap['takes']): OneTap['takes'] {
  const [first, ...rest] = takes;
  if (first === undefined) return [];
  const against = rest.filter(({ response }) => isTurned(first.response, response));
  const same = takes.filter((take) => !against.includes(take));
  return against.length <= same.length ? against : same;
}

function isTurned(one: FrequencyResponse, other: FrequencyResponse): boolean {
  const trusted = commonBand(one.trustedHz, other.trustedHz);
  if (trusted === null || trusted[1] < SIGN_UP_TO_HZ) return false;
  const inverted = { ...other, real: other.real.map((re) => -re), imag: other.imag.map((im) => -im) };
  const turned = correlation(one, inverted);
  return turned > ALIKE && turned > correlation(one, other);
}

/** Cosine of the angle between two responses above the bass, once the delay between them is out. */
function correlation(one: FrequencyResponse, other: FrequencyResponse): number {
  const shift = delayBetween({ earlier: one, later: other });
  if (shift === null) return 0;
  const still = movedEarlier(other, shift.value);
  let [cross, powerOne, powerOther] = [0, 0, 0];
  gridFrequencyHz.forEach((hz, i) => {
    if (hz < SIGN_FROM_HZ) return;
    const weight = 1 / (one.sigma[i] * still.sigma[i]);
    cross += weight * (one.real[i] * still.real[i] + one.imag[i] * still.imag[i]);
    powerOne += weight * (one.real[i] ** 2 + one.imag[i] ** 2);
    powerOther += weight * (still.real[i] ** 2 + still.imag[i] ** 2);
  });
  return cross / Math.sqrt(powerOne * powerOther);
}

function commonJump(taps: readonly OneTap[]): Doubt[] {
  const jumps = taps.flatMap((one) => jumpOf(one) ?? []);
  const [first] = jumps;
  if (first === undefined || jumps.length < Math.max(2, taps.length)) return [];
  const alike = jumps.every(
    ({ below, jumpDb }) => below === first.below && Math.abs(jumpDb - first.jumpDb) < SAME_JUMP_DB,
  );
  return alike
    ? [
        {
          kind: 'volts',
          reason: { code: 'level jumps on all taps', ...first },
          tapIds: taps.map(({ tap }) => tap.id),
          settings: null,
        },
      ]
    : [];
}

/** The one step of the level that stands out; null where there is none, or the lowest, where many laws begin steeply. */
function jumpOf({ takes }: OneTap): { below: number; above: number; jumpDb: number } | null {
  const levels = takes.map(middleOf);
  const steps = levels.slice(1).map(({ setting, levelDb }, i) => ({
    below: levels[i].setting,
    above: setting,
    count: setting - levels[i].setting,
    riseDb: levelDb === null || levels[i].levelDb === null ? Number.NaN : levelDb - levels[i].levelDb,
  }));
  if (steps.length < FEWEST_STEPS || steps.some(({ riseDb }) => Number.isNaN(riseDb))) return null;
  const perStep = median(steps.map(({ riseDb, count }) => riseDb / count));
  const excess = steps.map(({ riseDb, count }) => riseDb - count * perStep);
  const sizes = excess.map(Math.abs);
  const i = sizes.indexOf(Math.max(...sizes));
  const othersDb = Math.max(...sizes.filter((_, other) => other !== i));
  const jumps =
    (sizes[i] > JUMP_DB && othersDb < EVEN_DB && steps.length > FEWEST_STEPS) ||
    (sizes[i] > SMALL_JUMP_DB && othersDb < VERY_EVEN_DB);
  const { below, above } = steps[i];
  return jumps && i > 0 ? { below, above, jumpDb: excess[i] } : null;
}
