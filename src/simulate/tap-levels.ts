import { ratioOf } from '../dsp/decibels.ts';
import type { SimulatedTap } from './simulated-tap.ts';
import { valueAtSetting } from './tap-filters.ts';

/** RMS volts across the pair for a full-scale sine of the track at a setting: no EQ, no filters, no clipping. */
export function pairVoltsRms({ volume }: SimulatedTap, setting: number): number {
  if (!('atSetting' in volume)) return decibelsBetween(volume.voltsRms, setting);
  return volume.voltsRms * ratioOf(volume.dbPerStep * (setting - volume.atSetting));
}

/** One leg of a bridged pair carries half of its volts. */
export function legShare({ connection }: SimulatedTap): number {
  return connection === 'one leg' ? 0.5 : 1;
}

/** Weights of programme left and right. */
export function routingOf({ routing, side }: SimulatedTap): { left: number; right: number } {
  if (routing !== undefined) return routing;
  switch (side) {
    case 'left':
      return { left: 1, right: 0 };
    case 'right':
      return { left: 0, right: 1 };
    default:
      return { left: 0.5, right: 0.5 };
  }
}

/** White noise of the radio across the pair, RMS volts from 0 to NOISE_BANDWIDTH_HZ. */
export function noiseVoltsRms(tap: SimulatedTap, setting: number): number {
  return 'voltsRms' in tap.noise
    ? tap.noise.voltsRms
    : pairVoltsRms(tap, setting) * ratioOf(-tap.noise.snrDb);
}

/** As the SNR of a scenario is defined. */
export const NOISE_BANDWIDTH_HZ = 24_000;

/** Between the settings of a table the volume control moves evenly in decibels. */
function decibelsBetween(table: Readonly<Record<string, number>>, setting: number): number {
  const logarithms = Object.fromEntries(Object.entries(table).map(([at, volts]) => [at, Math.log(volts)]));
  return Math.exp(valueAtSetting(logarithms, setting));
}
