import type { LadderMeasurement, LadderStep } from '../model/measurement.ts';

/** Noise of a step against that of its neighbours: clipping raises it from one step on, a knock in one step alone. */
const STRUCK_FACTOR = 5;
const NEIGHBOURS = 3;

/** The ladder without the steps during which something struck the bench, and the drives of those steps. */
export function withoutStruckSteps(ladder: LadderMeasurement): {
  ladder: LadderMeasurement;
  struckDrivesDbFs: readonly number[];
} {
  const noise = ladder.steps.map(noiseAmplitude);
  const struck = ladder.steps.filter((_, i) => {
    const before = median(noise.slice(Math.max(0, i - NEIGHBOURS), i));
    const after = median(noise.slice(i + 1, i + 1 + NEIGHBOURS));
    // Neither the first nor the last step can be told from what lies beyond it.
    return before !== null && after !== null && noise[i] > STRUCK_FACTOR * Math.max(before, after);
  });
  return {
    ladder: { ...ladder, steps: ladder.steps.filter((step) => !struck.includes(step)) },
    struckDrivesDbFs: struck.map(({ driveDbFs }) => driveDbFs),
  };
}

function noiseAmplitude({ thdNoise, levelDbFs }: LadderStep): number {
  return thdNoise * 10 ** (levelDbFs / 20);
}

function median(values: readonly number[]): number | null {
  return values.length === 0 ? null : [...values].sort((a, b) => a - b)[values.length >> 1];
}
