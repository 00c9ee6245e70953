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
      // Variables of this call alone: writing a shared one for every sample costs ten times as much.
      let [highest, total, run] = [peak, 0, 0];
      for (let n = 0; n < samples.length; n++) {
        const value = samples[n];
        const size = Math.abs(value);
        total += value;
        if (size > highest) highest = size;
        run = size >= clipLevel ? run + 1 : 0;
        if (run === CLIPPED_RUN_SAMPLES) clippedRuns++;
      }
      peak = highest;
      sum += total;
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
