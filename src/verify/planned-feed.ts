import { ratioOf } from '../dsp/decibels.ts';
import { bandsDb } from '../dsp/eq-band.ts';
import type { Chain, ChainFeed, ChainNode } from '../model/chain.ts';
import { equipmentSchema } from '../model/equipment.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import { isNotMeasurable } from '../model/measured.ts';
import { fromRecord } from '../model/measurement-record.ts';
import type { FeedTap } from '../model/recommendation.ts';
import type { Results } from '../model/results.ts';
import type { Verifies } from '../model/session.ts';
import { boostFrom } from '../recommend/chain/kept-boost.ts';
import { radioNoiseVolts } from '../recommend/chain/radio-noise.ts';
import { type FeedLevel, feedLevel, nearestRecorded } from '../recommend/chain/tap-level.ts';
import { feedIdOf } from '../recommend/feeds/feed.ts';
import type { Spectrum } from '../recommend/feeds/predict-sum.ts';
import { sumOfTaps } from '../recommend/feeds/sum-of-taps.ts';
import { planAgain } from '../recommend/plan-again.ts';
import { type PlanContext, planContext } from '../recommend/plan-context.ts';
import type { Programme } from '../tones/track.ts';

export type Node = NonNullable<Verifies['node']>;
type Reading = NonNullable<ChainNode['knob']>['reading'];

/** One feed of the solved chain, as it should be heard behind the converter or the amplifier. */
export interface PlannedFeed {
  readonly feed: Pick<ChainFeed, 'output'> &
    Pick<ChainFeed['sides'][number], 'side' | 'taps'> & { id: string };
  /** RMS volts of a full-scale tone on both sides alike, equaliser on, before filters and restoration; null where no tap tells. */
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
  readonly target: (node: Node) => Reading | null;
  /** How far a knob may be off by the plan, percent. */
  readonly tolerancePercent: number;
  /** Relative, of the plan's own volts. */
  readonly relativePlusMinus: number;
  /** Those that are to be set. */
  readonly filters: ChainFeed['filters'];
  /** Null where the plan gives it no gain. */
  readonly amplifier: { readonly gainOverlapDb: number; readonly fullOutputVoltsRms: number } | null;
  /** Of the radio as one tap's, and of the parts, volts RMS. */
  readonly noise: ChainFeed['noise'] & { readonly radioVolts: (setting: number) => number | null };
  /** Turned round on purpose, as the takes at the seat or the filters ask. */
  readonly inverted: boolean;
}

interface TimedSpectrum extends Spectrum {
  readonly timeOrigin: string;
}

/** Every feed of the chain that was solved, with the radio as it was measured then; from the results file alone. */
export function plannedFeeds(results: Results): PlannedFeed[] {
  const { session, findings } = results;
  const context = planContext({
    session,
    measurements: results.measurements.map(fromRecord),
    findings,
    equipment: session.equipment,
  });
  return chainOf(results).feeds.flatMap((feed) => feed.sides.map((side) => plannedFeed(context, feed, side)));
}

/** Results of older versions hold no chain: it is solved from what they do hold. */
export function chainOf(results: Results): Chain {
  const parts = results.session.equipment ?? equipmentSchema.parse({});
  return results.chain ?? planAgain(results, parts).results.chain!;
}

function plannedFeed(
  context: PlanContext,
  feed: ChainFeed,
  { side, taps, waitsSeconds, equalizer }: ChainFeed['sides'][number],
): PlannedFeed {
  const { output, restoration, gains, setting } = feed;
  const equalizerDb = bandsDb(equalizer);
  const level = (at: number): FeedLevel | null => feedLevel(context, taps, at);
  const node = (kind: ChainNode['kind']) => feed.nodes.find((one) => one.kind === kind);
  const target = (at: Node) => node(at)?.knob?.reading ?? null;
  const full = node('load')?.voltsRms;
  return {
    feed: { id: feedIdOf(output, side), output, side, taps },
    volts: (at) => level(at)?.level.map((volts, i) => volts * ratioOf(equalizerDb[i])) ?? null,
    spectrum: (at, programme, own = taps) =>
      spectrumOf(context, waiting(own, waitsSeconds), { setting: at, programme }),
    boostDb: (at) => (restoration === null ? FLAT : boostFrom(restoration, at)),
    restores: restoration !== null,
    gain: (at) => (at === 'converter output' ? gains?.toLine : gains?.toAmplifierOutput) ?? null,
    target,
    tolerancePercent: (target('amplifier output') ?? target('converter output'))?.tolerancePercent ?? 0,
    relativePlusMinus: (setting === null ? null : level(setting))?.relativePlusMinus ?? 0,
    filters: feed.filters.filter(({ state }) => state === 'set'),
    amplifier:
      feed.amplifier === null || full === undefined || isNotMeasurable(full)
        ? null
        : { gainOverlapDb: feed.amplifier.gainOverlapDb, fullOutputVoltsRms: full.value },
    noise: { ...feed.noise, radioVolts: (at) => radioNoiseVolts(context, taps, at) },
    inverted: feed.startWith === 'inverted',
  };
}

const FLAT = new Float64Array(gridFrequencyHz.length);

/** The whole feed waits for the latest, as the plan has it. */
function waiting(taps: readonly FeedTap[], seconds: number): FeedTap[] {
  return taps.map((tap) => ({ ...tap, delaySeconds: tap.delaySeconds + seconds }));
}

function spectrumOf(
  context: PlanContext,
  taps: readonly FeedTap[],
  { setting, programme }: { setting: number; programme: Programme },
): TimedSpectrum | null {
  const tapIds = taps.map(({ tapId }) => tapId);
  const sum = sumOfTaps(context, taps, nearestRecorded(context, tapIds, setting));
  return sum === null ? null : { ...sum.spectrum(programme), timeOrigin: sum.timeOrigin };
}
