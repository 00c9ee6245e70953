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
      let [highest, lowest, total, otherTotal] = [0, 0, 0, 0];
      for (let n = 1; n < samples.length; n += 2) {
        const value = samples[n - 1];
        const other = samples[n];
        total += value;
        otherTotal += other;
        if (value > highest) highest = value;
        if (other > highest) highest = other;
        if (value < lowest) lowest = value;
        if (other < lowest) lowest = other;
      }
      if (samples.length % 2 === 1) {
        const last = samples[samples.length - 1];
        total += last;
        highest = Math.max(highest, last);
        lowest = Math.min(lowest, last);
      }
      const size = Math.max(highest, -lowest);
      if (size >= clipLevel) clippedRuns += runsAt(clipLevel, samples);
      peak = Math.max(peak, size);
      sum += total + otherTotal;
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

function runsAt(clipLevel: number, samples: Float32Array): number {
  let [runs, run] = [0, 0];
  for (let n = 0; n < samples.length; n++) {
    run = Math.abs(samples[n]) >= clipLevel ? run + 1 : 0;
    if (run === CLIPPED_RUN_SAMPLES) runs++;
  }
  return runs;
}
