import { gridFrequencyHz, valueAt } from '../model/frequency-grid.ts';
import { isNotMeasurable } from '../model/measured.ts';
import { fromRecord } from '../model/measurement-record.ts';
import {
  type FeedTap,
  type RecommendationOf,
  recommendationsOf,
  type Target,
} from '../model/recommendation.ts';
import type { Results } from '../model/results.ts';
import type { Verifies } from '../model/session.ts';
import { restorationPlan } from '../recommend/bass/restoration.ts';
import { feedLevel, measuredTogether, nearestRecorded } from '../recommend/chain/tap-level.ts';
import type { Feed } from '../recommend/feeds/feed.ts';
import { predictSum, type Spectrum } from '../recommend/feeds/predict-sum.ts';
import { type PlanContext, planContext } from '../recommend/plan-context.ts';
import { waitOf } from '../recommend/seat/feed-delays.ts';
import type { Programme } from '../tones/track.ts';

export type Node = NonNullable<Verifies['node']>;

/** One feed of the plan, as it should be heard behind the converter or the amplifier. */
export interface PlannedFeed {
  readonly feed: Feed;
  /** RMS volts of a full-scale tone on both sides alike, before filters and restoration; null where no tap tells. */
  readonly volts: (setting: number) => Float64Array | null;
  /**
   * Programme on one side, in units that compare between feeds of one setting; null where timing is unknown.
   * `taps` are the feed's own, or the same ones connected otherwise.
   */
  readonly spectrum: (
    setting: number,
    programme: Programme,
    taps?: readonly FeedTap[],
  ) => TimedSpectrum | null;
  /** What restoration adds while it is on, decibels on the frequency grid. */
  readonly boostDb: (setting: number) => Float64Array;
  readonly restores: boolean;
  /** From volts at the tap (or full-scale units) to volts at a node; null where the plan has no target for it. */
  readonly gain: (node: Node) => number | null;
  /** The reading that sets the knob of a node; null where the plan has none. */
  readonly target: (node: Node) => Target | null;
  /** How far a knob may be off by the plan, percent. */
  readonly tolerancePercent: number;
  /** Relative, of the plan's own volts. */
  readonly relativePlusMinus: number;
  readonly filters: readonly RecommendationOf<'filter'>[];
  readonly amplifier: RecommendationOf<'amplifier-gain'> | null;
  /** Turned round on purpose, as the takes at the seat or the filters ask. */
  readonly inverted: boolean;
}

export interface TimedSpectrum extends Spectrum {
  readonly timeOrigin: string;
}

/** Every feed of a plan, from the results file alone. */
export function plannedFeeds(results: Results): PlannedFeed[] {
  const { session, findings, recommendations } = results;
  const context = planContext({
    session,
    measurements: results.measurements.map(fromRecord),
    findings,
    equipment: session.equipment,
  });
  const feeds = recommendationsOf(recommendations, 'feed');
  const [delay] = recommendationsOf(recommendations, 'delay');
  const [clean] = recommendationsOf(recommendations, 'highest-clean-setting');
  const sub = feeds.find(({ output }) => output === 'subwoofer');
  const restoring = sub === undefined || clean === undefined ? null : restorationPlan(context, sub, clean);
  const flat = new Float64Array(gridFrequencyHz.length);
  return feeds.map((feed) => {
    const isSub = feed.output === 'subwoofer';
    const beside = feeds.filter(({ output }) => output === feed.output);
    const isOfOutput = ({ output }: { output: string }) => output === feed.output;
    const converter = recommendationsOf(recommendations, 'converter-level').find(isOfOutput) ?? null;
    const amplifier = recommendationsOf(recommendations, 'amplifier-gain').find(isOfOutput) ?? null;
    const targetsOf = (node: Node) => (node === 'converter output' ? converter : amplifier)?.targets ?? [];
    return {
      feed,
      volts: (setting) => feedLevel(context, feed.taps, setting)?.level ?? null,
      spectrum: (setting, programme, taps = feed.taps) =>
        spectrumOf(context, waiting(taps, waitOf(delay ?? null, feed)), { setting, programme }),
      boostDb: (setting) => (isSub ? (restoring?.boostDb(setting) ?? flat) : flat),
      restores: isSub && restoring?.recommendation.verdict === 'restore',
      gain: (node) => gainOf(context, beside, targetsOf(node)),
      target: (node) => targetsOf(node).find(({ setBy }) => setBy) ?? null,
      tolerancePercent: (amplifier ?? converter)?.tolerancePercent ?? 0,
      relativePlusMinus: feedLevel(context, feed.taps, feed.setting)?.relativePlusMinus ?? 0,
      filters: recommendationsOf(recommendations, 'filter').filter(
        ({ output, state }) => output === feed.output && state !== 'open',
      ),
      amplifier,
      inverted: isSub && startsInverted(recommendations),
    };
  });
}

/** As the takes at the seat advised; without them, as radio and filters add. */
function startsInverted(recommendations: Results['recommendations']): boolean {
  const [seat] = recommendationsOf(recommendations, 'seat');
  if (seat !== undefined) return seat.polarity === 'inverted';
  return recommendationsOf(recommendations, 'filter').some(
    ({ handOver }) => handOver?.startWith === 'inverted',
  );
}

/** The whole feed waits for the latest, as the plan has it. */
function waiting(taps: readonly FeedTap[], seconds: number): FeedTap[] {
  return taps.map((tap) => ({ ...tap, delaySeconds: tap.delaySeconds + seconds }));
}

/** The targets of a node are its gain times the louder feed of the output; any one of them tells the gain. */
function gainOf(context: PlanContext, feeds: readonly Feed[], targets: readonly Target[]): number | null {
  const readings = targets.filter(({ restoration }) => restoration !== 'on');
  for (const { voltsRms, toneHz, driveDbFs, setting } of readings) {
    if (isNotMeasurable(voltsRms)) continue;
    const levels = feeds.flatMap(({ taps }) => feedLevel(context, taps, setting) ?? []);
    const atTap = Math.max(0, ...levels.map(({ level }) => valueAt(level, toneHz)));
    if (atTap > 0) return voltsRms.value / (atTap * 10 ** (driveDbFs / 20));
  }
  return null;
}

function spectrumOf(
  context: PlanContext,
  taps: readonly FeedTap[],
  { setting, programme }: { setting: number; programme: Programme },
): TimedSpectrum | null {
  const tapIds = taps.map(({ tapId }) => tapId);
  const nearest = nearestRecorded(context, tapIds, setting);
  const together = nearest === null ? null : measuredTogether(context, tapIds, nearest);
  if (together === null || !together.timed) return null;
  const parts = together.measurements.map((measurement, i) => ({ measurement, tap: taps[i] }));
  return { ...predictSum({ parts, programme }), timeOrigin: together.measurements[0].timeOrigin };
}
