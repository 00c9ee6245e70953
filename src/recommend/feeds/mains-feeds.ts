import type { Converter, Output } from '../../model/equipment.ts';
import type { RangeHz } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import { measuredTogether } from '../chain/tap-level.ts';
import type { PlanContext, TapRole } from '../plan-context.ts';
import { anchorPolarity } from './anchor-polarity.ts';
import { type FeedPlan, judgedSettingFor, soundOfSum, wantedBand } from './feed.ts';
import { likeSides, type SideSums } from './like-sides.ts';
import { addedPolaritiesOf, type Polarities } from './polarities.ts';
import { magnitudes, programmeSpectrum } from './predict-sum.ts';
import { runnersUp, sumReasons } from './runners-up.ts';
import { type SumSearch, searchSums } from './search-sums.ts';
import { isSubwooferWanted } from './subwoofer-wanted.ts';
import type { ScoredSum, SumCandidate } from './sum-cost.ts';

/** Most inputs that a converter adds into one output (common practice: four pairs at most, two to four a side). */
const MOST_TAPS = 4;
/** Front and rear in one feed: the fade control no longer works. In the search's decibels. */
const FADE_LOST_DB = 1;
/**
 * A sum that reaches this far needs no tap of another place: mains from the hand-over to a subwoofer where one is fed, and
 * rears, which only fill in, from 250 Hz to 4 kHz (common practice).
 */
const REACHES_HZ: RangeHz = [80, 12_000];
const ABOVE_A_SUBWOOFER_HZ: RangeHz = [160, 12_000];
const FILL_HZ: RangeHz = [250, 4000];
/** What is assumed of a converter that is still to be ordered: a processor's usual delay and trims. */
const TO_BE_ORDERED = {
  maximumDelaySeconds: 2e-3,
  delayStepSeconds: 10e-6,
  trimsDb: Array.from({ length: 13 }, (_, i) => i - 12),
};

/** One feed for each output and side that the mains taps can serve, and the centre's where an amplifier is to feed one. */
export function mainsPlans(context: PlanContext): FeedPlan[] {
  const plans: FeedPlan[] = [];
  for (const output of outputsWanted(context))
    plans.push(...stereoPlans(context, output, addedPolaritiesOf(plans)));
  return [...plans, ...centrePlan(context)];
}

/** @param known how outputs of the feeds before it are connected */
function stereoPlans(context: PlanContext, output: Output, known: Polarities): FeedPlan[] {
  const [left, right] = (['left', 'right'] as const).map((side) => sideOf(context, { output, side, known }));
  if (left?.kind !== 'sum' || right?.kind !== 'sum')
    return [left, right].flatMap((one) =>
      one === null ? [] : [one.kind === 'sum' ? summed(context, one) : one.plan],
    );
  const [leftSums, rightSums] = likeSides(left, right);
  return [summed(context, { ...left, sums: leftSums }), summed(context, { ...right, sums: rightSums })];
}

/** The centre's own tap alone: what the radio derives for it is in no other tap, and is in no stereo feed. */
function centrePlan(context: PlanContext): FeedPlan[] {
  const isFed = context.equipment?.amplifiers.some(({ feeds }) => feeds.includes('centre')) ?? false;
  const tap = context.taps.find(({ output, unfit }) => output === 'centre' && !unfit);
  if (!isFed || tap === undefined) return [];
  const reasons = [{ code: 'the centre alone' as const, tapId: tap.tapId }];
  const taps = anchorPolarity(context, [plainTap(tap.tapId)]);
  return [{ output: 'centre', side: 'both', taps, reasonsFor: () => reasons, lost: [], runnersUp: [] }];
}

function outputsWanted({ equipment, taps }: PlanContext): Output[] {
  const fed = equipment?.amplifiers.flatMap(({ feeds }) => feeds) ?? [];
  const wanted = (['front', 'rear'] as const).filter((output) => fed.length === 0 || fed.includes(output));
  return wanted.filter((output) => taps.some((tap) => tap.output === output));
}

interface FeedToPlan {
  readonly output: Output;
  readonly side: 'left' | 'right';
  /** How outputs of the feeds before it are connected. */
  readonly known: Polarities;
}

interface SideOfFeed extends FeedToPlan, SideSums {
  readonly kind: 'sum';
  readonly own: readonly TapRole[];
}

function sideOf(
  context: PlanContext,
  toPlan: FeedToPlan,
): SideOfFeed | { readonly kind: 'alone'; readonly plan: FeedPlan } | null {
  const { output, side } = toPlan;
  const fit = context.taps.filter((tap) => tap.side === side && !tap.unfit && tap.output !== 'subwoofer');
  const own = fit.filter((tap) => tap.output === output);
  if (own.length === 0) return null;
  const fullRange = own.find(({ band }) => band?.verdict === 'full range');
  if (fullRange !== undefined)
    return {
      kind: 'alone',
      plan: leftAlone(context, { ...toPlan, tap: fullRange, passedOver: own.length - 1 }),
    };
  const byItself = {
    kind: 'sum',
    ...toPlan,
    own,
    ...search(context, { ...toPlan, own, others: [] }),
  } as const;
  if (own.length === fit.length || reaches(context, byItself.sums[0], { output, side })) return byItself;
  const others = fit.filter((tap) => !own.includes(tap) && tap.output !== 'centre');
  return { ...byItself, ...search(context, { ...toPlan, own, others }) };
}

function leftAlone(
  context: PlanContext,
  {
    output,
    side,
    known,
    tap,
    passedOver,
  }: FeedToPlan & { readonly tap: TapRole; readonly passedOver: number },
): FeedPlan {
  const taps = anchorPolarity(context, [plainTap(tap.tapId)], known);
  const reasonsFor = (connected: readonly FeedTap[]): Reason[] => [
    { code: 'full range, used alone', tapId: tap.tapId },
    ...turnedByRadio(connected),
    ...(passedOver > 0 ? [{ code: 'a further tap adds its own phase' as const }] : []),
  ];
  return { output, side, taps, reasonsFor, lost: [], runnersUp: [] };
}

function summed(context: PlanContext, { output, side, known, sums, own }: SideOfFeed): FeedPlan {
  const [best] = sums;
  const taps = anchorPolarity(context, best.taps, known);
  const mixesPlaces = best.taps.some(({ tapId }) => !own.some((tap) => tap.tapId === tapId));
  return {
    output,
    side,
    taps,
    reasonsFor: (connected) => [
      ...sumReasons({ ...best, taps: connected }, sums.length),
      ...(taps.length === 1 ? turnedByRadio(connected) : []),
    ],
    lost: mixesPlaces ? [fadeLost(best.taps, own)] : [],
    runnersUp: runnersUp(sums, (sum) => soundOf(context, sum, side, wantedBand(output))),
  };
}

/** Both places in one feed, or another place alone. */
function fadeLost(taps: readonly FeedTap[], own: readonly TapRole[]): Reason {
  const mixes = taps.some(({ tapId }) => own.some((tap) => tap.tapId === tapId));
  return { code: mixes ? 'front-to-rear fade is lost' : 'fed from another place' };
}

/** A tap of its own feed is turned only where the radio turns it. */
function turnedByRadio([{ tapId, polarity }]: readonly FeedTap[]): Reason[] {
  return polarity === 'inverted' ? [{ code: 'the radio turns this tap', tapId }] : [];
}

function search(
  context: PlanContext,
  {
    own,
    others,
    output,
    side,
    known,
  }: FeedToPlan & { readonly own: readonly TapRole[]; readonly others: readonly TapRole[] },
): SideSums {
  const taps = [...own, ...others];
  const tapIds = taps.map(({ tapId }) => tapId);
  const { measurements, timed } = candidateMeasurements(context, tapIds);
  const candidates = measurements.map((measurement): SumCandidate => {
    const spectrum = programmeSpectrum(measurement, side);
    return {
      tapId: measurement.tapId,
      // Without common timing the magnitudes alone choose the set; its polarity stays open.
      spectrum: timed
        ? spectrum
        : { real: magnitudes(spectrum), imag: new Float64Array(spectrum.real.length) },
      penaltyDb: own.some((tap) => tap.tapId === measurement.tapId) ? 0 : FADE_LOST_DB,
    };
  });
  const { maximumDelaySeconds, delayStepSeconds, trimsDb } = abilities(context.equipment?.converter ?? null);
  const search: SumSearch = {
    candidates,
    wantedHz: wantedBand(output),
    mostTaps: Math.min(MOST_TAPS, context.equipment?.converter?.inputs ?? MOST_TAPS),
    trimsDb,
    maximumDelaySeconds: timed ? maximumDelaySeconds : 0,
    delayStepSeconds,
    known,
    // Its own place, or one output that needs no other: what is left out stays with the radio.
    allowed: (set) =>
      own.some(({ tapId }) => set.includes(tapId)) ||
      (set.length === 1 &&
        others.some(({ tapId, band }) => tapId === set[0] && band?.verdict === 'full range')),
  };
  return { search, sums: searchSums(search), taps };
}

/** All of them from one setting if they were recorded at one, else those that were recorded with the first. */
function candidateMeasurements(context: PlanContext, tapIds: readonly string[]) {
  const setting = judgedSettingFor(context, tapIds);
  if (setting !== null) return measuredTogether(context, tapIds, setting)!;
  const measurements = tapIds.map((tapId) => {
    const own = context.measurements.filter((item) => item.tapId === tapId);
    return (
      context.judgedSettings.flatMap((judged) => own.filter((item) => item.setting === judged))[0] ?? own[0]
    );
  });
  return { measurements, timed: false };
}

function abilities(converter: Converter | null) {
  if (converter === null) return TO_BE_ORDERED;
  const [from, to] = converter.trimRangeDb;
  const trimsDb = Array.from({ length: Math.floor(to - from) + 1 }, (_, i) => from + i);
  return {
    maximumDelaySeconds: Math.min(converter.maximumDelaySeconds, TO_BE_ORDERED.maximumDelaySeconds),
    delayStepSeconds: converter.delayStepSeconds,
    trimsDb: trimsDb.includes(0) ? trimsDb : [0],
  };
}

function reaches(
  context: PlanContext,
  sum: ScoredSum,
  { output, side }: { output: Output; side: 'left' | 'right' },
): boolean {
  const mains = isSubwooferWanted(context) ? ABOVE_A_SUBWOOFER_HZ : REACHES_HZ;
  const wanted = output === 'rear' ? FILL_HZ : mains;
  const sound = soundOf(context, sum, side, wanted);
  return sound?.bandHz != null && sound.bandHz[0] <= wanted[0] && sound.bandHz[1] >= wanted[1];
}

function soundOf(context: PlanContext, sum: ScoredSum, side: 'left' | 'right', wantedHz: RangeHz) {
  return soundOfSum(context, sum.taps, { programme: side, wantedHz });
}

function plainTap(tapId: string) {
  return { tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 } as const;
}
