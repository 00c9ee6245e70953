import type { Output } from '../../model/equipment.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { Reason } from '../../model/reason.ts';
import type { FeedTap, RecommendationOf } from '../../model/recommendation.ts';
import { isWithin } from '../../model/response.ts';
import type { Programme } from '../../tones/track.ts';
import { measuredTogether, nearestRecorded } from '../chain/tap-level.ts';
import { findingsAbout, idsOf, type PlanContext, roleOfTap } from '../plan-context.ts';
import { connectionsOf } from './connections.ts';
import { type Band, FULL_RANGE_HZ, flatnessOf, SUBWOOFER_RANGE_HZ } from './flatness.ts';
import { decibels, magnitudes, predictSum, programmeSpectrum } from './predict-sum.ts';
import { unknownTiming } from './unknown-timing.ts';

export type Feed = RecommendationOf<'feed'>;

/** A plan for one output and side, to be worked out into a recommendation. */
export interface FeedPlan {
  readonly output: Output;
  readonly side: 'left' | 'right' | 'both';
  readonly taps: readonly FeedTap[];
  readonly reasons: readonly Reason[];
  readonly lost: readonly Reason[];
  readonly runnersUp: Feed['runnersUp'];
}

export function wantedBand(output: Output): Band {
  return output === 'subwoofer' ? SUBWOOFER_RANGE_HZ : FULL_RANGE_HZ;
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
    id: output === 'subwoofer' ? 'feed-subwoofer' : `feed-${output}-${side}`,
    order: 0,
    restsOn: idsOf([
      ...findingsAbout(context, 'band', tapIds),
      ...findingsAbout(context, 'crossover', tapIds),
      ...findingsAbout(context, 'timing', tapIds),
      ...findingsAbout(context, 'routing', tapIds),
      ...findingsAbout(context, 'common-ceiling', tapIds),
    ]),
    reasons: [...plan.reasons],
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

/** Programme this far under the whole is not carried (common practice: crosstalk of a radio is 40 to 60 dB down). */
const NOTHING_DB = -30;

interface FeedSound {
  readonly programmes: NonNullable<Feed['programmes']>;
  readonly separationDb: number | null;
  readonly sumDb: Float64Array;
}

/** Null where the taps were not recorded together at this setting. */
function soundAt(context: PlanContext, { output, side, taps }: FeedPlan, setting: number): FeedSound | null {
  const together = measuredTogether(
    context,
    taps.map(({ tapId }) => tapId),
    setting,
  );
  if (together === null || !together.timed) return null;
  const parts = together.measurements.map((measurement, i) => ({ measurement, tap: taps[i] }));
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
    const each = parts.map(({ measurement, tap }) => {
      const gain = 10 ** (tap.trimDb / 20) * scaleOf(measurement.voltsPerFullScale?.volts);
      return clearOfNoise(measurement, programme).map((value) => value * gain);
    });
    return {
      sumDb: decibels(magnitudes(predictSum({ parts, programme }))),
      withoutCancellationDb: decibels(each[0].map((_, i) => each.reduce((total, one) => total + one[i], 0))),
    };
  }

  function scaleOf(volts: number | undefined): number {
    return together!.measurements.every((item) => item.voltsPerFullScale !== null) ? volts! : 1;
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
