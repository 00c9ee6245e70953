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
      const extent = extentOf(samples);
      if (extent.peak >= clipLevel) clippedRuns += runsAt(clipLevel, samples);
      peak = Math.max(peak, extent.peak);
      sum += extent.sum;
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

/** Two samples at a time, because each addition would wait for the one before. */
function extentOf(samples: Float32Array): { peak: number; sum: number } {
  let highest = 0;
  let lowest = 0;
  let even = 0;
  let odd = 0;
  for (let n = 1; n < samples.length; n += 2) {
    const value = samples[n - 1];
    const other = samples[n];
    even += value;
    odd += other;
    if (value > highest) highest = value;
    if (other > highest) highest = other;
    if (value < lowest) lowest = value;
    if (other < lowest) lowest = other;
  }
  const last = samples.length % 2 === 1 ? samples[samples.length - 1] : 0;
  return { peak: Math.max(highest, -lowest, Math.abs(last)), sum: even + last + odd };
}

function runsAt(clipLevel: number, samples: Float32Array): number {
  let [runs, run] = [0, 0];
  for (let n = 0; n < samples.length; n++) {
    run = Math.abs(samples[n]) >= clipLevel ? run + 1 : 0;
    if (run === CLIPPED_RUN_SAMPLES) runs++;
  }
  return runs;
}
