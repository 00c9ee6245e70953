import { kaiser, sinc } from '../dsp/windowed-sinc.ts';

/**
 * Flattens everything beyond +-limit, as an output stage at its rail does, in place.
 *
 * Worked out at four times the rate, so that harmonics beyond half the rate do not fold back: the part beyond the limit
 * is found between the samples too, band-limited and subtracted. What stays within the limit passes bit by bit.
 */
export function hardClipInPlace(samples: Float64Array, limit: number): void {
  const nearLimit = NEAR_LIMIT * limit;
  if (peakOf(samples) <= nearLimit) return;
  const source = samples.slice();
  for (let n = HALF_TAPS; n < source.length - HALF_TAPS; n++) {
    if (Math.abs(source[n]) <= nearLimit && Math.abs(source[n + 1]) <= nearLimit) continue;
    for (let phase = 0; phase < OVERSAMPLING; phase++) {
      const value = phase === 0 ? source[n] : valueBetween(source, n, phase);
      const excess = value > limit ? value - limit : value < -limit ? value + limit : 0;
      if (excess !== 0) subtractBandLimited(samples, { n, phase, excess });
    }
  }
}

function peakOf(samples: Float64Array): number {
  let peak = 0;
  for (let n = 0; n < samples.length; n++) {
    const size = Math.abs(samples[n]);
    if (size > peak) peak = size;
  }
  return peak;
}

/** Against harmonics that fold back (chosen here; only simulated). */
const OVERSAMPLING = 4;
const HALF_TAPS = 16;
const KAISER_BETA = 8; // stop band about -80 dB, of the part beyond the limit alone

/** A peak between two samples of a 16 kHz tone at 48 kHz stands twice as high as they do. */
const NEAR_LIMIT = 0.5;

/** Row p: weights of samples n-15 ... n+16 for the value at n + p/4; row 0 is a single 1. */
const weights = Array.from({ length: OVERSAMPLING }, (_, phase) =>
  Float64Array.from({ length: 2 * HALF_TAPS }, (_, tap) => {
    const distance = tap - (HALF_TAPS - 1) - phase / OVERSAMPLING;
    return sinc(distance) * kaiser(distance / HALF_TAPS, KAISER_BETA);
  }),
);

function valueBetween(source: Float64Array, n: number, phase: number): number {
  const row = weights[phase];
  const start = n - (HALF_TAPS - 1);
  let value = 0;
  for (let tap = 0; tap < row.length; tap++) value += row[tap] * source[start + tap];
  return value;
}

/** The same symmetric filter on the way down: one fine sample of the excess spreads over the coarse ones around it. */
function subtractBandLimited(samples: Float64Array, at: { n: number; phase: number; excess: number }): void {
  const row = weights[at.phase];
  const start = at.n - (HALF_TAPS - 1);
  const share = at.excess / OVERSAMPLING;
  for (let tap = 0; tap < row.length; tap++) samples[start + tap] -= share * row[tap];
}
