import { decibels } from '../../dsp/decibels.ts';

/** Dry air at 20 degrees Celsius and 1013 hPa (ideal gas law). */
const AIR_DENSITY_KG_PER_M3 = 1.2041;
/** 0 dB of sound pressure (ISO 1683; from memory). */
const REFERENCE_PASCAL = 20e-6;

/** Peak volume that the cones move: area times one-way peak travel. */
export function volumeCm3Peak({
  areaCm2,
  peakTravelMm,
  count,
}: {
  areaCm2: number;
  peakTravelMm: number;
  count: number;
}): number {
  return (areaCm2 * peakTravelMm * count) / 10;
}

/**
 * Sound pressure at 1 m on a floor or wall (half space) that a peak volume gives before the cone runs out of travel:
 * p = rho (2 pi f)^2 V / (2 pi r), a point source. The cabin adds to it at the bottom.
 */
export function travelLimitedDb({
  volumeCm3,
  frequencyHz,
}: {
  volumeCm3: number;
  frequencyHz: number;
}): number {
  const pascalRms =
    (AIR_DENSITY_KG_PER_M3 * (2 * Math.PI * frequencyHz) ** 2 * (volumeCm3 * 1e-6)) /
    (2 * Math.PI) /
    Math.SQRT2;
  return decibels(pascalRms / REFERENCE_PASCAL);
}

/** Lowest frequency at which the same volume still gives a level; 12 dB an octave. */
export function lowestHzAt({ volumeCm3, levelDb }: { volumeCm3: number; levelDb: number }): number {
  const at40Hz = travelLimitedDb({ volumeCm3, frequencyHz: 40 });
  return 40 * 10 ** ((levelDb - at40Hz) / 40);
}
