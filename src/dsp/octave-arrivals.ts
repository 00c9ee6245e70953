/** An octave whose bins agree this well on one arrival carries the sweep: as much sweep as noise in a bin. */
const COHERENT_OCTAVE = 0.5;
/** Arrivals are looked for within half of this, either way of where the sweep is expected. */
const ARRIVAL_RANGE_SECONDS = 0.2;
/** Bins compared lie at most this part of their octave apart: a response changes little over it. */
const ARRIVAL_LAG_OCTAVE_PART = 1 / 16;

/**
 * Arrival at each frequency, in seconds, from a cross spectrum of recording and stimulus: where the bins of its octave agree on one, otherwise that of the nearest octave which does.
 *
 * @param cross interleaved bins, `binHz` apart
 */
export function arrivalsByOctave(
  cross: Float64Array,
  { binHz, frequencyHz }: { binHz: number; frequencyHz: Float64Array },
): Float64Array {
  const firstOctaveHz = frequencyHz[0];
  const octaveOf = (hz: number) => Math.max(0, Math.floor(Math.log2(hz / firstOctaveHz)));
  const octaveCount = octaveOf(frequencyHz[frequencyHz.length - 1]) + 1;
  const found = Array.from({ length: octaveCount }, (_, octave) => {
    const from = Math.max(1, Math.round((firstOctaveHz * 2 ** octave) / binHz));
    const to = Math.min(cross.length / 2 - 2, Math.round((firstOctaveHz * 2 ** (octave + 1)) / binHz));
    return octaveArrival(cross, { from, to, binHz });
  });
  const filled = found.map((arrival, octave) => arrival ?? nearestKnown(found, octave) ?? 0);
  return frequencyHz.map((hz) => filled[Math.min(octaveCount - 1, octaveOf(hz))]);
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
  let real = 0;
  let imag = 0;
  let power = 0;
  for (let k = 2 * from; k < 2 * (to - lag); k += 2) {
    const later = k + 2 * lag;
    real += cross[later] * cross[k] + cross[later + 1] * cross[k + 1];
    imag += cross[later + 1] * cross[k] - cross[later] * cross[k + 1];
    power += cross[k] * cross[k] + cross[k + 1] * cross[k + 1];
  }
  return power > 0 && Math.hypot(real, imag) > COHERENT_OCTAVE * power
    ? -Math.atan2(imag, real) / (2 * Math.PI * binHz * lag)
    : null;
}

function nearestKnown(values: readonly (number | null)[], at: number): number | null {
  for (let away = 1; away < values.length; away++) {
    const known = values[at + away] ?? values[at - away];
    if (known !== null && known !== undefined) return known;
  }
  return null;
}
