import { expect, test } from 'vitest';
import { makeRecordings } from '../../src/simulate/make-recordings.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';

const RATE_HZ = 48_000;
const TONE_HZ = 6007;
const SKEW_SECONDS = 5e-6;

/** Phase of the lead-in's highest tone over a second of it, radians. */
function tonePhase(samples: Float32Array): number {
  let [real, imag] = [0, 0];
  for (let n = 1.3 * RATE_HZ; n < 2.3 * RATE_HZ; n++) {
    const angle = (2 * Math.PI * TONE_HZ * n) / RATE_HZ;
    real += samples[n] * Math.cos(angle);
    imag -= samples[n] * Math.sin(angle);
  }
  return Math.atan2(imag, real);
}

test('a channel that samples later than another hears the same tone that much earlier', () => {
  const scenario = resolveScenario({
    name: 'skewed inputs',
    seed: 1,
    track: 'response only',
    settings: [10],
    taps: [
      {
        id: 'front-left',
        side: 'left',
        position: 'front',
        volume: { atSetting: 10, voltsRms: 2, dbPerStep: 1 },
      },
      {
        id: 'rear-left',
        side: 'left',
        position: 'rear',
        volume: { atSetting: 10, voltsRms: 2, dbPerStep: 1 },
      },
    ],
    recorder: { clockPpm: 0, startSeconds: [1, 1], channelSkewMicroseconds: [0, 1e6 * SKEW_SECONDS] },
  });
  const [{ channels }] = [...makeRecordings(scenario)];
  const later = tonePhase(channels[1]) - tonePhase(channels[0]);
  // Noise leaves about a thousandth. A sine that is sampled t later is ahead by 2 pi f t.
  expect(later).toBeCloseTo(2 * Math.PI * TONE_HZ * SKEW_SECONDS, 2);
});
