import type { SimulatedRecording } from '../../src/simulate/make-recordings.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { Scenario, ScenarioInput, TapInput } from '../../src/simulate/scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { responseTrack, sectionOf, sectionValues } from '../../src/tones/track.ts';

/** Full scale of the file is 1 V RMS, the tap gives 0.5 V for a full-scale sine, nothing disturbs. */
export const QUIET_TAP: TapInput = {
  id: 'front-left',
  side: 'left',
  volume: { atSetting: 10, voltsRms: 0.5, dbPerStep: 1 },
  noise: { voltsRms: 0 },
};
export const EXACT_RECORDER = {
  padRatio: 1,
  fullScaleVoltsRms: 1,
  bits: '32f',
  noiseDbFs: -300,
  clockPpm: 0,
  startSeconds: [1, 1] as [number, number],
  endSeconds: [0.1, 0.1] as [number, number],
} as const;

export function scenario(changes: Partial<ScenarioInput> = {}, tap: Partial<TapInput> = {}): Scenario {
  return resolveScenario({
    track: 'response only',
    settings: [10],
    taps: [{ ...QUIET_TAP, ...tap }],
    ...changes,
    recorder: { ...EXACT_RECORDER, ...changes.recorder },
  });
}

export function firstRecording(of: Scenario): SimulatedRecording {
  return simulate(of).recordings().next().value!;
}

/**
 * Largest distance of the recording from the closed form of the track, played `delaySeconds` late and recorded by a clock
 * that is fast by `ppm`, once the unknown fraction of a sample between the clocks is allowed for; relative to the sweep.
 */
export function distanceFromTrack(
  samples: Float32Array,
  { ppm, delaySeconds, gain }: { ppm: number; delaySeconds: number; gain: number },
): number {
  const sweep = sectionOf(responseTrack, 'sweep', 'sweep left')!;
  const valueAt = sectionValues(sweep);
  const rateHz = 48_000 * (1 + ppm * 1e-6);
  const drive = 10 ** (sweep.driveDbFs / 20);
  const distance = (fraction: number) => {
    let worst = 0;
    for (let n = 0; n < 4.5 * rateHz; n += 97) {
      const seconds = sweep.startSeconds + 0.5 + n / rateHz;
      const index = Math.round((1 - 0.05) * 48_000) + Math.round((seconds + 0.05) * rateHz);
      const trackSeconds =
        (index - Math.round((1 - 0.05) * 48_000) - fraction) / rateHz - 0.05 - delaySeconds;
      worst = Math.max(worst, Math.abs(samples[index] - gain * valueAt(trackSeconds)));
    }
    return worst / (drive * Math.abs(gain));
  };
  // Golden section over the fraction; the distance has one valley.
  let [low, high] = [0, 1];
  for (let i = 0; i < 40; i++) {
    const [one, other] = [low + 0.382 * (high - low), low + 0.618 * (high - low)];
    if (distance(one) < distance(other)) high = other;
    else low = one;
  }
  return distance(low);
}
