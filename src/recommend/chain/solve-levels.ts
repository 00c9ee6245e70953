import { decibels, ratioOf } from '../../dsp/decibels.ts';
import type { Chain } from '../../model/chain.ts';

/** Of a converter whose reach is not known, or not asked. */
export const ANY_GAIN_DB = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY] as const;

type BindingLimit = Chain['feeds'][number]['bindingLimit'];

/** What the stages of one feed can do; volts RMS. A limit that nobody knows is infinite. */
export interface StageLimits {
  /** Full-scale tone where the feed is loudest, restoration and equaliser on: what the line has to carry. */
  readonly sourceVolts: number;
  /** The same within what the amplifier plays, behind its filters: what the load gets. At most `sourceVolts`. */
  readonly playedVolts: number;
  /** Null where the outputs go straight into the amplifier. */
  readonly converter: {
    readonly gainRangeDb: readonly [number, number];
    readonly outputLimitVolts: number;
  } | null;
  /** Null where no amplifier is given: the line is then all that is set. */
  readonly amplifier: {
    readonly ratedVolts: number;
    /** For rated output, from the most sensitive position to the least; null where nobody noted it. */
    readonly sensitivityRangeVolts: readonly [number, number] | null;
    readonly gainOverlapDb: number;
  } | null;
  /** What the load stands. */
  readonly loadVolts: number;
}

export interface SolvedLevels {
  /** From the output's volts to the line's. */
  readonly converterGain: number;
  /** At the line where the feed is loudest. */
  readonly lineVolts: number;
  /** At the amplifier's output for the tone that drives it fully; null without an amplifier. */
  readonly outputVolts: number | null;
  /** Where the input gain belongs: volts for rated output. */
  readonly sensitivityVolts: number | null;
  /** From volts at the line to volts at the amplifier's output. */
  readonly amplifierGain: number | null;
  readonly gainOverlapDb: number;
  /** What has to be lost in front of the first stage because its knob ends; 0 where nothing has. */
  readonly padDb: number;
  readonly bindingLimit: BindingLimit;
  /** What stopped the line from being hotter. */
  readonly lineLimit: BindingLimit;
}

/**
 * Converter level and amplifier gain that respect every limit together. The line runs as hot as the converter's output and
 * the amplifier's least sensitive position allow (least hiss, common practice), the load gets the lesser of what the
 * amplifier makes and what it stands. Where a knob ends, the stage before it is turned down.
 */
export function solveLevels({
  sourceVolts,
  playedVolts,
  converter,
  amplifier,
  loadVolts,
}: StageLimits): SolvedLevels {
  const outputVolts = amplifier === null ? null : Math.min(amplifier.ratedVolts, loadVolts);
  const gainOverlapDb = amplifier === null ? 0 : overlapWithin(amplifier, loadVolts);
  const drivenVolts = (lineVolts: number) => (lineVolts * playedVolts) / sourceVolts / ratioOf(gainOverlapDb);
  const mostAtAmplifier =
    amplifier?.sensitivityRangeVolts == null
      ? Number.POSITIVE_INFINITY
      : (amplifier.sensitivityRangeVolts[1] * (outputVolts! / amplifier.ratedVolts)) / (drivenVolts(1) || 1);
  const line = lineLevel({ sourceVolts, converter, mostAtAmplifier });
  const stage =
    amplifier === null
      ? null
      : inputGain({ amplifier, outputVolts: outputVolts!, driven: drivenVolts(line.volts), loadVolts });
  return {
    converterGain: line.volts / sourceVolts,
    lineVolts: line.volts,
    outputVolts: stage?.outputVolts ?? null,
    sensitivityVolts: stage?.sensitivityVolts ?? null,
    amplifierGain: stage?.gain ?? null,
    gainOverlapDb,
    padDb: line.padDb,
    bindingLimit: stage === null ? line.bindingLimit : stage.bindingLimit,
    lineLimit: line.bindingLimit,
  };
}

/** A louder tone than the one that fills the amplifier must not give the load more than it stands: then there is no overlap. */
function overlapWithin(
  { ratedVolts, gainOverlapDb }: NonNullable<StageLimits['amplifier']>,
  loadVolts: number,
): number {
  return loadVolts < ratedVolts * (1 - SAME_RATIO) ? 0 : gainOverlapDb;
}

/** Ratings this close are the same. */
const SAME_RATIO = 1e-3;

function lineLevel({
  sourceVolts,
  converter,
  mostAtAmplifier,
}: Pick<StageLimits, 'sourceVolts' | 'converter'> & { readonly mostAtAmplifier: number }): {
  volts: number;
  padDb: number;
  bindingLimit: BindingLimit;
} {
  const outputLimit = converter?.outputLimitVolts ?? Number.POSITIVE_INFINITY;
  const wanted = Math.min(outputLimit, mostAtAmplifier);
  const [lowest, highest] = converter === null ? [1, 1] : converter.gainRangeDb.map(ratioOf);
  const gain = wanted / sourceVolts;
  // Straight into the amplifier there is nothing to turn; what comes is what there is.
  if (gain > highest)
    return {
      volts: sourceVolts * highest,
      padDb: 0,
      bindingLimit: converter === null ? 'the radio' : 'converter gain at its top',
    };
  if (gain < lowest)
    return {
      volts: wanted,
      padDb: decibels(lowest / gain),
      bindingLimit: converter === null ? 'amplifier gain at its bottom' : 'converter gain at its bottom',
    };
  return {
    volts: wanted,
    padDb: 0,
    bindingLimit: outputLimit <= mostAtAmplifier ? 'converter output' : 'amplifier gain at its bottom',
  };
}

function inputGain({
  amplifier,
  outputVolts,
  driven,
  loadVolts,
}: {
  readonly amplifier: NonNullable<StageLimits['amplifier']>;
  readonly outputVolts: number;
  /** At the input for the tone that is to give `outputVolts`. */
  readonly driven: number;
  readonly loadVolts: number;
}): { outputVolts: number; sensitivityVolts: number; gain: number; bindingLimit: BindingLimit } {
  const { ratedVolts, sensitivityRangeVolts } = amplifier;
  const wanted = (ratedVolts * driven) / outputVolts;
  const mostSensitive = sensitivityRangeVolts?.[0] ?? 0;
  const sensitivityVolts = Math.max(mostSensitive, wanted);
  const gain = ratedVolts / sensitivityVolts;
  const isShort = wanted < mostSensitive * (1 - SAME_RATIO);
  return {
    outputVolts: isShort ? driven * gain : outputVolts,
    sensitivityVolts,
    gain,
    bindingLimit: isShort
      ? 'amplifier gain at its top'
      : loadVolts < ratedVolts
        ? 'load rating'
        : 'amplifier power',
  };
}
