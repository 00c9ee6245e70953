import { decibels, ratioOf } from '../../dsp/decibels.ts';
import type { Amplifier, Converter, Equipment, Output } from '../../model/equipment.ts';
import { gridFrequencyHz, gridSpan, type RangeHz, valueAt } from '../../model/frequency-grid.ts';
import type { Feed } from '../feeds/feed.ts';
import { type PlannedFilter, passedBy } from '../filters/filter-loss.ts';
import { EXAMPLE_LINE_OUTPUT_VOLTS } from '../install/example-classes.ts';
import type { PlanContext } from '../plan-context.ts';
import { type ChainLoad, chainLoad } from './chain-load.ts';
import { ANY_GAIN_DB, type SolvedLevels, solveLevels } from './solve-levels.ts';
import { type FeedLevel, feedLevel } from './tap-level.ts';

/** What an amplifier has to carry (common practice). */
const WHOLE_BAND_HZ: RangeHz = [25, 15_000];
/** Below 30 Hz programme is rare, and restoration would ask for the amplifier's power where it holds least (common practice). */
const AMPLIFIER_BAND_HZ: RangeHz = [30, 15_000];

/** One feed worked out with its curves: what the readings are taken from. `data` is the part that is kept. */
export interface SolvedFeed {
  readonly output: Output;
  readonly setting: number;
  readonly feeds: readonly Feed[];
  readonly tapIds: readonly string[];
  /** At the output, restoration and equaliser off; volts, or full-scale units where `inVolts` is false; on the grid. */
  readonly tapLevel: Float64Array;
  readonly inVolts: boolean;
  readonly relativePlusMinus: number;
  /** Restoration, and the equaliser's bands; decibels on the grid. */
  readonly boostDb: Float64Array;
  readonly equalizerDb: Float64Array;
  readonly hasRestoration: boolean;
  /** Of the amplifier, as they are to be set. */
  readonly filters: readonly PlannedFilter[];
  readonly converter: Converter | null;
  /** What the pads before the converter's inputs take; 0 without. */
  readonly inputPadDb: number;
  readonly direct: boolean;
  /** What the line may carry. */
  readonly lineLimitVolts: number;
  readonly limitAssumed: boolean;
  readonly worstHz: number;
  readonly levels: SolvedLevels;
  readonly amplifier: Amplifier | null;
  readonly load: ChainLoad;
}

/** Which inputs of its amplifier a feed reaches without a converter. */
export type Straight = 'line' | 'speaker';

export interface FeedToSolve {
  readonly output: Output;
  readonly feeds: readonly Feed[];
  readonly setting: number;
  readonly boostDb: Float64Array;
  readonly equalizerDb: Float64Array;
  /** Of the amplifier, as they are to be set. */
  readonly filters: readonly PlannedFilter[];
  /** Null where a converter stands between. */
  readonly direct: Straight | null;
  /** What the pads before the converter's inputs take, decibels. */
  readonly padDb: number;
}

/** Null where no output of the feed was recorded. */
export function solvedFeed(context: PlanContext, wanted: FeedToSolve): SolvedFeed | null {
  const { output, feeds, setting, boostDb, equalizerDb, filters, direct, padDb } = wanted;
  const levels = feeds.map(({ taps }) => feedLevel(context, taps, setting)).filter((level) => level !== null);
  if (levels.length === 0) return null;
  const tap = louder(levels);
  const equipment = context.equipment;
  const amplifier = equipment?.amplifiers.find(({ feeds: fed }) => fed.includes(output)) ?? null;
  const converter = direct === null ? (equipment?.converter ?? null) : null;
  const treated = tap.level.map((value, i) => value * ratioOf(boostDb[i] + equalizerDb[i]));
  const worst = highestIn(treated, WHOLE_BAND_HZ);
  const load = chainLoad(equipment ?? NOTHING, { output, amplifier });
  return {
    output,
    setting,
    feeds,
    tapIds: feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)),
    tapLevel: tap.level,
    inVolts: tap.inVolts,
    relativePlusMinus: tap.relativePlusMinus,
    boostDb,
    equalizerDb,
    hasRestoration: boostDb.some((db) => db > 0.05),
    filters,
    converter,
    inputPadDb: padDb,
    direct: direct !== null,
    lineLimitVolts: lineLimitVolts({ converter, amplifier, direct }),
    limitAssumed: direct === null && converter === null,
    worstHz: worst.frequencyHz,
    levels: solveLevels({
      sourceVolts: worst.level,
      playedVolts: Math.min(worst.level, playedLevel(treated, filters)),
      converter: direct === null ? stageOf(converter, { inVolts: tap.inVolts, padDb }) : null,
      amplifier: amplifier === null ? null : amplifierOf(amplifier, direct),
      loadVolts: load.ratedVolts,
    }),
    amplifier,
    load,
  };
}

const NOTHING: Pick<Equipment, 'woofer' | 'speakers'> = { woofer: null, speakers: [] };

/** Without known volts its range cannot be held against them: it is then set by the reading alone. */
function stageOf(converter: Converter | null, { inVolts, padDb }: { inVolts: boolean; padDb: number }) {
  const outputLimitVolts = converter?.outputLimitVoltsRms ?? EXAMPLE_LINE_OUTPUT_VOLTS;
  const range = converter?.gainRangeDb;
  return {
    outputLimitVolts,
    gainRangeDb:
      range === undefined || !inVolts ? ANY_GAIN_DB : ([range[0] - padDb, range[1] - padDb] as const),
  };
}

function amplifierOf(amplifier: Amplifier, direct: FeedToSolve['direct']) {
  return {
    ratedVolts: Math.sqrt(amplifier.ratedWatts * amplifier.ratedOhms),
    sensitivityRangeVolts:
      direct === 'speaker'
        ? (amplifier.speakerSensitivityRangeVoltsRms ?? null)
        : amplifier.sensitivityRangeVoltsRms,
    gainOverlapDb: amplifier.gainOverlapDb,
  };
}

function lineLimitVolts({
  converter,
  amplifier,
  direct,
}: {
  converter: Converter | null;
  amplifier: Amplifier | null;
  direct: FeedToSolve['direct'];
}): number {
  if (direct === 'speaker') return amplifier?.speakerInputLimitVoltsRms ?? Number.POSITIVE_INFINITY;
  if (direct === 'line') return amplifier?.sensitivityRangeVoltsRms[1] ?? Number.POSITIVE_INFINITY;
  return converter?.outputLimitVoltsRms ?? EXAMPLE_LINE_OUTPUT_VOLTS;
}

/** The highest level that gets through the amplifier's filters; least loss counts where their family is not known. */
function playedLevel(treated: Float64Array, filters: readonly PlannedFilter[]): number {
  const passed = treated.map((value, i) =>
    filters.reduce((level, filter) => level * passedBy(filter, gridFrequencyHz[i]), value),
  );
  return highestIn(passed, AMPLIFIER_BAND_HZ).level;
}

function louder(levels: readonly FeedLevel[]): FeedLevel {
  return {
    level: levels[0].level.map((_, i) => Math.max(...levels.map(({ level }) => level[i]))),
    inVolts: levels.every(({ inVolts }) => inVolts),
    relativePlusMinus: Math.max(...levels.map(({ relativePlusMinus }) => relativePlusMinus)),
  };
}

/** Ripple within this is noise of the recordings: the usual tone of the band is then named for its highest point. */
const RIPPLE_DB = 0.1;
const USUAL_HZ = [55, 1000] as const;

function highestIn(level: Float64Array, band: RangeHz): { frequencyHz: number; level: number } {
  const { first, last } = gridSpan(band);
  let at = first;
  for (let i = first; i <= last; i++) if (level[i] > level[at]) at = i;
  const usualHz = USUAL_HZ.find((hz) => {
    const apart = decibels(level[at] / valueAt(level, hz));
    return hz >= band[0] && hz <= band[1] && apart <= RIPPLE_DB;
  });
  return { frequencyHz: usualHz ?? gridFrequencyHz[at], level: level[at] };
}
