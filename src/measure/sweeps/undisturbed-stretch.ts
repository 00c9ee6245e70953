import { doubles, reused } from '../../dsp/kernels/kernel-arrays.ts';
import { centred } from '../../dsp/section-work.ts';
import { takeOutTone } from '../../dsp/steady-tone.ts';
import { announcementsInNoise } from '../disturbances/find-announcements.ts';
import { type Burst, findKnocks } from '../disturbances/find-knocks.ts';

/** Longest part of a section of noise that nothing struck, and where something did. */
interface UndisturbedStretch {
  readonly from: number;
  readonly to: number;
  /** Samples from the section's start. */
  readonly knocksAt: readonly number[];
  readonly announcements: readonly Burst[];
}

/** @param tonesHz steady tones of the track in it, by the recorder's clock; they are taken out for the search */
export function undisturbedStretch(
  samples: Float32Array,
  of: { sampleRateHz: number; tonesHz: readonly number[] },
): UndisturbedStretch {
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

function withoutSteadyTones(
  samples: Float32Array,
  { sampleRateHz, tonesHz }: { sampleRateHz: number; tonesHz: readonly number[] },
): Float64Array {
  const rest = workOf(samples.length);
  centred(samples, rest);
  for (const toneHz of tonesHz) takeOutTone(rest, (2 * Math.PI * toneHz) / sampleRateHz);
  return rest;
}

/** The same memory for every channel. */
const workOf = reused(doubles);
