import { doubles, reused } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';

/** An octave whose bins agree this well on one arrival carries the sweep: as much sweep as noise in a bin. */
const COHERENT_OCTAVE = 0.5;
/** Arrivals are looked for within half of this, either way of where the sweep is expected. */
const ARRIVAL_RANGE_SECONDS = 0.2;
/** Bins compared lie at most this part of their octave apart: a response changes little over it. */
const ARRIVAL_LAG_OCTAVE_PART = 1 / 16;

/** Where the octaves of a list of frequencies lie among the bins of a spectrum. */
export interface Octaves {
  readonly bins: readonly { readonly from: number; readonly to: number }[];
  /** Of each frequency, its octave. */
  readonly octaveOf: Uint8Array;
  readonly binHz: number;
}

/** @param lastBin the highest that a spectrum has */
export function octavesOf(of: { frequencyHz: Float64Array; binHz: number; lastBin: number }): Octaves {
  const { frequencyHz, binHz, lastBin } = of;
  const firstHz = frequencyHz[0];
  const octaveOf = Uint8Array.from(frequencyHz, (hz) => Math.max(0, Math.floor(Math.log2(hz / firstHz))));
  const bins = Array.from({ length: octaveOf[octaveOf.length - 1] + 1 }, (_, octave) => ({
    from: Math.max(1, Math.round((firstHz * 2 ** octave) / binHz)),
    to: Math.min(lastBin - 1, Math.round((firstHz * 2 ** (octave + 1)) / binHz)),
  }));
  return { bins, octaveOf, binHz };
}

/**
 * Arrival at each frequency, in seconds, from a cross spectrum of recording and stimulus: where the bins of its octave agree on one, otherwise that of the nearest octave which does.
 *
 * @param cross interleaved bins
 */
export function arrivalsByOctave(cross: Float64Array, { bins, octaveOf, binHz }: Octaves): Float64Array {
  const found = bins.map(({ from, to }) => octaveArrival(cross, { from, to, binHz }));
  const filled = found.map((arrival, octave) => arrival ?? nearestKnown(found, octave) ?? 0);
  return Float64Array.from(octaveOf, (octave) => filled[octave]);
}

/**
 * From the turn between bins some way apart: neighbours would let noise, which fills the section unevenly, shift the result
 * by milliseconds.
 */
function octaveArrival(
  cross: Float64Array,
  { from, to, binHz }: { from: number; to: number; binHz: number },
): number | null {
  const farthest = Math.floor(1 / (ARRIVAL_RANGE_SECONDS * binHz));
  const lag = Math.max(1, Math.min(farthest, Math.floor((to - from) * ARRIVAL_LAG_OCTAVE_PART)));
  const sums = sumsWork(3);
  kernels.turnBetween(cross, sums, from, Math.max(from, to - lag), lag);
  const [real, imag, power] = sums;
  return power > 0 && Math.hypot(real, imag) > COHERENT_OCTAVE * power
    ? -Math.atan2(imag, real) / (2 * Math.PI * binHz * lag)
    : null;
}

const sumsWork = reused(doubles);

function nearestKnown(values: readonly (number | null)[], at: number): number | null {
  for (let away = 1; away < values.length; away++) {
    const known = values[at + away] ?? values[at - away];
    if (known !== null && known !== undefined) return known;
  }
  return null;
}
