import { gridPoints } from '../../model/frequency-grid.ts';
import type { BandCurve } from './band-curve.ts';

/** The pass band is where the edges themselves take less than this. */
const PASS_BAND_LOSS_DB = 1;
/** Pass bands that would do as well: other losses, and ends of the measured band this much further in. */
const OTHER_LOSSES_DB = [0.5, 2] as const;
const FURTHER_IN_OCTAVES = 0.25;

/**
 * Pass-band level: the median, over the part of the band where the edges take least (within 1 dB), of the level with the
 * edges' own loss beyond that added back; evenly over the logarithm of frequency. A median ignores peaks that fill less than
 * half of the band; without any it is the highest level that the edges let through.
 */
export function passBandLevelDb(curve: BandCurve, rangeHz: readonly [number, number]): number {
  const inRange = gridPoints(rangeHz);
  const least = leastLossDb(curve, inRange);
  // A single edge lets everything through far from it, even where the recording ends before that.
  const peakLoss = curve.edgeCount > 1 ? least : 0;
  return medianDb(curve, inRange, PASS_BAND_LOSS_DB) - peakLoss;
}

/** How far the level moves with what is taken for the pass band: where EQ tilts it there is no one right level. */
export function passBandSpreadDb(curve: BandCurve, [fromHz, toHz]: readonly [number, number]): number {
  const further = 2 ** FURTHER_IN_OCTAVES;
  const whole = gridPoints([fromHz, toHz]);
  const others = [
    ...OTHER_LOSSES_DB.map((lossDb) => medianDb(curve, whole, lossDb)),
    medianDb(curve, gridPoints([fromHz * further, toHz]), PASS_BAND_LOSS_DB),
    medianDb(curve, gridPoints([fromHz, toHz / further]), PASS_BAND_LOSS_DB),
  ];
  const level = medianDb(curve, whole, PASS_BAND_LOSS_DB);
  return Math.max(...others.map((other) => Math.abs(other - level)));
}

function leastLossDb({ edgeLossDb }: BandCurve, indices: readonly number[]): number {
  return Math.min(...indices.map((i) => edgeLossDb[i]));
}

/** Median of the level without the edges' loss, where that is within `lossDb` of its least. */
function medianDb(curve: BandCurve, indices: readonly number[], lossDb: number): number {
  const { levelDb, edgeLossDb } = curve;
  const limit = leastLossDb(curve, indices) + lossDb;
  const levels = indices
    .filter((i) => edgeLossDb[i] <= limit)
    .map((i) => levelDb[i] + edgeLossDb[i])
    .sort((a, b) => a - b);
  const middle = (levels.length - 1) / 2;
  return 0.5 * (levels[Math.floor(middle)] + levels[Math.ceil(middle)]);
}
