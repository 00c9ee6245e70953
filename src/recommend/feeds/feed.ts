import { ratioOf } from '../../dsp/decibels.ts';
import type { Output } from '../../model/equipment.ts';
import { gridFrequencyHz, type RangeHz } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf, FeedTap, Flatness } from '../../model/recommendation.ts';
import { isWithin } from '../../model/response.ts';
import type { Programme } from '../../tones/track.ts';
import { measuredTogether, nearestRecorded } from '../chain/tap-level.ts';
import { findingsAbout, idsOf, type PlanContext, roleOfTap } from '../plan-context.ts';
import { connectionsOf } from './connections.ts';
import { FULL_RANGE_HZ, flatnessOf, SUBWOOFER_RANGE_HZ } from './flatness.ts';
import { flooredDb, magnitudes, programmeSpectrum } from './predict-sum.ts';
import { type SumOfTaps, sumOfTaps } from './sum-of-taps.ts';
import { unknownTiming } from './unknown-timing.ts';

export type Feed = AdviceOf<'feed'>;

/** A plan for one output and side, to be worked out into a recommendation. */
export interface FeedPlan {
  readonly output: Output;
  readonly side: 'left' | 'right' | 'both';
  readonly taps: readonly FeedTap[];
  /** Of the taps as they are connected in the end. */
  readonly reasonsFor: (taps: readonly FeedTap[]) => readonly Reason[];
  /** Findings beside those of its outputs' bands, timing and sides. */
  readonly restsOn?: readonly string[];
  readonly lost: readonly Reason[];
  readonly runnersUp: Feed['runnersUp'];
}

export function wantedBand(output: Output): RangeHz {
  return output === 'subwoofer' ? SUBWOOFER_RANGE_HZ : FULL_RANGE_HZ;
}

/** By it a feed is named in files of sessions. */
export function feedIdOf(output: Output, side: FeedPlan['side']): string {
  return output === 'subwoofer' ? 'feed-subwoofer' : `feed-${output}-${side}`;
}

/** Of the judged settings: the first at which all the taps were recorded together, or at least all recorded. */
export function judgedSettingFor(context: PlanContext, tapIds: readonly string[]): number | null {
  const timed = context.judgedSettings.find((setting) => measuredTogether(context, tapIds, setting)?.timed);
  const [first = null] = context.judgedSettings;
  return timed ?? (first === null ? null : nearestRecorded(context, tapIds, first));
}

/** Works out what the feed carries, for programme left, right and both. */
export function feedOf(context: PlanContext, plan: FeedPlan): Feed {
  const { output, side, taps } = plan;
  const tapIds = taps.map(({ tapId }) => tapId);
  const setting = judgedSettingFor(context, tapIds)!;
  const sound = soundAt(context, plan, setting);
  return {
    kind: 'feed',
    id: feedIdOf(output, side),
    restsOn: idsOf([
      ...findingsAbout(context, 'band', tapIds),
      ...findingsAbout(context, 'crossover', tapIds),
      ...findingsAbout(context, 'timing', tapIds),
      ...findingsAbout(context, 'routing', tapIds),
      ...findingsAbout(context, 'common-ceiling', tapIds),
    ]).concat(plan.restsOn ?? []),
    reasons: [...plan.reasonsFor(taps)],
    output,
    side,
    taps: [...taps],
    leftWithRadio: output === 'subwoofer' ? [] : notTaken(context, { output, side, tapIds }),
    connections: connectionsOf(context, taps),
    summed: addsWithinASide(context, tapIds),
    setting,
    programmes: sound?.programmes ?? null,
    unknownTiming:
      sound === null ? unknownTiming(context, { tapIds, setting, wantedHz: wantedBand(output) }) : null,
    separationDb: sound?.separationDb ?? null,
    sumDb: sound === null ? null : Array.from(sound.sumDb, (db) => Math.round(db * 100) / 100),
    atSettings: context.session.settings.flatMap((other) => {
      const there = soundAt(context, plan, other);
      return there === null ? [] : [{ setting: other, rippleDb: there.programmes[side].rippleDb }];
    }),
    lost: [...plan.lost],
    runnersUp: plan.runnersUp,
  };
}

/** How even some taps are together; null where they were not recorded together. */
export function soundOfSum(
  context: PlanContext,
  taps: readonly FeedTap[],
  { programme, wantedHz }: { readonly programme: Programme; readonly wantedHz: RangeHz },
): Flatness | null {
  const tapIds = taps.map(({ tapId }) => tapId);
  const sumDb = sumOfTaps(context, taps, judgedSettingFor(context, tapIds))?.levelDb(programme);
  return sumDb === undefined ? null : flatnessOf({ sumDb, withoutCancellationDb: sumDb, wantedHz });
}

/** Programme this far under the whole is not carried (common practice: crosstalk of a radio is 40 to 60 dB down). */
const NOTHING_DB = -30;

interface FeedSound {
  readonly programmes: NonNullable<Feed['programmes']>;
  readonly separationDb: number | null;
  readonly sumDb: Float64Array;
}

/** Plans for other parts ask for the same sums again; measurements do not change. */
const knownSounds = new WeakMap<
  TapMeasurement,
  { of: SumOfTaps['measurements']; key: string; sound: FeedSound }[]
>();

/** Null where the taps were not recorded together at this setting. */
function soundAt(context: PlanContext, plan: FeedPlan, setting: number): FeedSound | null {
  const { output, side, taps } = plan;
  const sum = sumOfTaps(context, taps, setting);
  if (sum === null) return null;
  const known = knownSounds.get(sum.measurements[0]) ?? [];
  const key = JSON.stringify([wantedBand(output), side, taps]);
  const kept = known.find(
    (one) => one.key === key && one.of.every((measurement, i) => measurement === sum.measurements[i]),
  );
  if (kept !== undefined) return kept.sound;
  const sound = soundOf(plan, sum);
  knownSounds.set(sum.measurements[0], [...known, { of: sum.measurements, key, sound }]);
  return sound;
}

function soundOf({ output, side, taps }: FeedPlan, sum: SumOfTaps): FeedSound {
  const { measurements } = sum;
  const inVolts = measurements.every(({ voltsPerFullScale }) => voltsPerFullScale !== null);
  const wantedHz = wantedBand(output);
  const spectra = { left: levels('left'), right: levels('right'), both: levels('both') };
  const bothDb = flatnessOf({ ...spectra.both, wantedHz, levelAgainstDb: 0 }).levelDb;
  const judge = (programme: 'left' | 'right' | 'both') => {
    const found = flatnessOf({ ...spectra[programme], wantedHz, levelAgainstDb: bothDb });
    // What comes over from the other side is crosstalk and noise: its ripple says nothing.
    return found.levelDb < NOTHING_DB ? { ...found, rippleDb: 0, worstDipDb: 0, bandHz: null } : found;
  };
  const programmes = { left: judge('left'), right: judge('right'), both: judge('both') };
  const other = side === 'left' ? 'right' : 'left';
  return {
    programmes,
    separationDb: side === 'both' ? null : programmes[side].levelDb - programmes[other].levelDb,
    sumDb: spectra[side].sumDb,
  };

  function levels(programme: 'left' | 'right' | 'both') {
    const each = measurements.map((measurement, i) => {
      const gain = ratioOf(taps[i].trimDb) * (inVolts ? measurement.voltsPerFullScale!.volts : 1);
      return clearOfNoise(measurement, programme).map((value) => value * gain);
    });
    return {
      sumDb: sum.levelDb(programme),
      withoutCancellationDb: flooredDb(each[0].map((_, i) => each.reduce((total, one) => total + one[i], 0))),
    };
  }
}

/** Magnitude where a tap stands clear of its noise, 0 elsewhere: hum that differs from tap to tap cancels nothing. */
function clearOfNoise(measurement: TapMeasurement, programme: Programme): Float64Array {
  const sides = programme === 'both' ? [measurement.left, measurement.right] : [measurement[programme]];
  const ranges = sides.flatMap(({ trustedHz }) => (trustedHz === null ? [] : [trustedHz]));
  return magnitudes(programmeSpectrum(measurement, programme)).map((value, i) =>
    ranges.some((range) => isWithin(range, gridFrequencyHz[i])) ? value : 0,
  );
}

function notTaken(
  context: PlanContext,
  { output, side, tapIds }: { output: Output; side: FeedPlan['side']; tapIds: readonly string[] },
): string[] {
  return context.taps
    .filter((tap) => tap.output === output && tap.side === side && !tap.unfit)
    .map(({ tapId }) => tapId)
    .filter((tapId) => !tapIds.includes(tapId));
}

/** Left and right of a subwoofer feed are joined by its mono amplifier: only taps of one side make a sum in the converter. */
function addsWithinASide(context: PlanContext, tapIds: readonly string[]): boolean {
  const sides = tapIds.map((tapId) => roleOfTap(context, tapId).side);
  return new Set(sides).size < sides.length;
}
