import { findKnocks } from './find-knocks.ts';

/** Longest part of a section of noise that nothing struck, and where something did. */
export interface CalmStretch {
  readonly from: number;
  readonly to: number;
  /** Samples from the section's start. */
  readonly knocksAt: readonly number[];
}

/** @param tonesHz steady tones of the track in it, by the recorder's clock; they are taken out for the search */
export function calmStretch(
  samples: Float32Array,
  of: { sampleRateHz: number; tonesHz: readonly number[] },
): CalmStretch {
  const bursts = findKnocks(withoutSteadyTones(samples, of), of.sampleRateHz);
  const edges = [0, ...bursts.flatMap(({ from, to }) => [from, to]), samples.length];
  let best = { from: 0, to: 0 };
  for (let e = 0; e < edges.length; e += 2)
    if (edges[e + 1] - edges[e] > best.to - best.from) best = { from: edges[e], to: edges[e + 1] };
  return { ...best, knocksAt: bursts.map(({ from }) => from) };
}

/** By projection: over some seconds tones of different frequency are as good as orthogonal. */
function withoutSteadyTones(
  samples: Float32Array,
  { sampleRateHz, tonesHz }: { sampleRateHz: number; tonesHz: readonly number[] },
): Float64Array {
  const mean = samples.reduce((sum, value) => sum + value, 0) / Math.max(1, samples.length);
  const rest = Float64Array.from(samples, (value) => value - mean);
  for (const toneHz of tonesHz) {
    const radiansPerSample = (2 * Math.PI * toneHz) / sampleRateHz;
    let [cosine, sine] = [0, 0];
    turning(radiansPerSample, rest.length, (n, cos, sin) => {
      cosine += rest[n] * cos;
      sine += rest[n] * sin;
    });
    const scale = 2 / rest.length;
    turning(radiansPerSample, rest.length, (n, cos, sin) => {
      rest[n] -= scale * (cosine * cos + sine * sin);
    });
  }
  return rest;
}

/** A phasor turned from sample to sample: ten times as fast as its cosines, and exact enough for seconds. */
function turning(
  radiansPerSample: number,
  count: number,
  visit: (n: number, cos: number, sin: number) => void,
): void {
  const [turnCos, turnSin] = [Math.cos(radiansPerSample), Math.sin(radiansPerSample)];
  let [cos, sin] = [1, 0];
  for (let n = 0; n < count; n++) {
    visit(n, cos, sin);
    const before = cos;
    cos = before * turnCos - sin * turnSin;
    sin = before * turnSin + sin * turnCos;
  }
}
