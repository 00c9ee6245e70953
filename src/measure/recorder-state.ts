import type { RecorderState } from '../model/measurement.ts';

/** This many samples in a row at full scale are a clipped recorder, not a peak that just fits. */
const CLIPPED_RUN_SAMPLES = 3;

/** Watches one channel's samples for what the recorder itself did; sections may be shown in any order. */
export function recorderWatch(fullScaleStep: number): {
  see(samples: Float32Array): void;
  state(clockPpm: number): RecorderState;
} {
  const clipLevel = 1 - 1.5 * fullScaleStep;
  let peak = 0;
  let clippedRuns = 0;
  let sum = 0;
  let count = 0;
  return {
    see(samples) {
      const size = largest(samples);
      if (size >= clipLevel) clippedRuns += runsAt(clipLevel, samples);
      peak = Math.max(peak, size);
      sum += sumOf(samples);
      count += samples.length;
    },
    state: (clockPpm) => ({
      peakDbFs: 20 * Math.log10(peak + 1e-15),
      clippedRuns,
      dcOffset: count > 0 ? sum / count : 0,
      clockPpm,
    }),
  };
}

function largest(samples: Float32Array): number {
  let highest = 0;
  let lowest = 0;
  for (let n = 0; n < samples.length; n++) {
    const value = samples[n];
    if (value > highest) highest = value;
    if (value < lowest) lowest = value;
  }
  return Math.max(highest, -lowest);
}

/** Two sums, because each addition would wait for the one before. */
function sumOf(samples: Float32Array): number {
  let even = 0;
  let odd = 0;
  for (let n = 1; n < samples.length; n += 2) {
    even += samples[n - 1];
    odd += samples[n];
  }
  if (samples.length % 2 === 1) even += samples[samples.length - 1];
  return even + odd;
}

function runsAt(clipLevel: number, samples: Float32Array): number {
  let [runs, run] = [0, 0];
  for (let n = 0; n < samples.length; n++) {
    run = Math.abs(samples[n]) >= clipLevel ? run + 1 : 0;
    if (run === CLIPPED_RUN_SAMPLES) runs++;
  }
  return runs;
}
