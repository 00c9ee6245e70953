import { decibels } from '../../dsp/decibels.ts';
import { doubles, reused } from '../../dsp/kernels/kernel-arrays.ts';
import { kernels } from '../../dsp/kernels/kernels.ts';
import type { RecorderState } from '../../model/measurement.ts';

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
      const sums = sumWork(1);
      const highest = kernels.extent(samples, sums, samples.length);
      if (highest >= clipLevel) clippedRuns += runsAt(clipLevel, samples);
      peak = Math.max(peak, highest);
      sum += sums[0];
      count += samples.length;
    },
    state: (clockPpm) => ({
      peakDbFs: decibels(peak + 1e-15),
      clippedRuns,
      dcOffset: count > 0 ? sum / count : 0,
      clockPpm,
    }),
  };
}

const sumWork = reused(doubles);

function runsAt(clipLevel: number, samples: Float32Array): number {
  let [runs, run] = [0, 0];
  for (let n = 0; n < samples.length; n++) {
    run = Math.abs(samples[n]) >= clipLevel ? run + 1 : 0;
    if (run === CLIPPED_RUN_SAMPLES) runs++;
  }
  return runs;
}
