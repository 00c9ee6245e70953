import { announcementsInNoise } from './find-announcements.ts';
import { type Burst, findKnocks } from './find-knocks.ts';

/** Longest part of a section of noise that nothing struck, and where something did. */
export interface CalmStretch {
  readonly from: number;
  readonly to: number;
  /** Samples from the section's start. */
  readonly knocksAt: readonly number[];
  readonly announcements: readonly Burst[];
}

/** @param tonesHz steady tones of the track in it, by the recorder's clock; they are taken out for the search */
export function calmStretch(
  samples: Float32Array,
  of: { sampleRateHz: number; tonesHz: readonly number[] },
): CalmStretch {
  const residual = withoutSteadyTones(samples, of);
  const announcements = announcementsInNoise(residual, of.sampleRateHz);
  const knocks = findKnocks(residual, of.sampleRateHz).filter(
    ({ from, to }) => !announcements.some((one) => from < one.to && to > one.from),
  );
  const bursts = [...knocks, ...announcements].sort((one, other) => one.from - other.from);
  const edges = [0, ...bursts.flatMap(({ from, to }) => [from, to]), samples.length];
  let best = { from: 0, to: 0 };
  for (let e = 0; e < edges.length; e += 2)
    if (edges[e + 1] - edges[e] > best.to - best.from) best = { from: edges[e], to: edges[e + 1] };
  return { ...best, knocksAt: knocks.map(({ from }) => from), announcements };
}

/** By projection: over some seconds tones of different frequency are as good as orthogonal. */
function withoutSteadyTones(
  samples: Float32Array,
  { sampleRateHz, tonesHz }: { sampleRateHz: number; tonesHz: readonly number[] },
): Float64Array {
  const rest = Float64Array.from(samples);
  let sum = 0;
  for (let n = 0; n < rest.length; n++) sum += rest[n];
  const mean = sum / Math.max(1, rest.length);
  for (let n = 0; n < rest.length; n++) rest[n] -= mean;
  for (const toneHz of tonesHz) takeOutTone(rest, (2 * Math.PI * toneHz) / sampleRateHz);
  return rest;
}

/** With a phasor turned from sample to sample: ten times as fast as its cosines, and exact enough for seconds. */
function takeOutTone(samples: Float64Array, radiansPerSample: number): void {
  const [turnCos, turnSin] = [Math.cos(radiansPerSample), Math.sin(radiansPerSample)];
  let [cosine, sine] = [0, 0];
  for (let n = 0, cos = 1, sin = 0; n < samples.length; n++) {
    cosine += samples[n] * cos;
    sine += samples[n] * sin;
    const before = cos;
    cos = before * turnCos - sin * turnSin;
    sin = before * turnSin + sin * turnCos;
  }
  cosine *= 2 / samples.length;
  sine *= 2 / samples.length;
  for (let n = 0, cos = 1, sin = 0; n < samples.length; n++) {
    samples[n] -= cosine * cos + sine * sin;
    const before = cos;
    cos = before * turnCos - sin * turnSin;
    sin = before * turnSin + sin * turnCos;
  }
}
