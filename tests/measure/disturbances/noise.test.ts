import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../src/dsp/random.ts';
import { noiseAndLines } from '../../../src/measure/disturbances/noise.ts';

const RATE = 48_000;
const SECONDS = 3;
/** The quiet tone of the track, which is taken out; 55 Hz lies beside mains hum. */
const TRACK_TONES_HZ = [55, 997, 6007];
/** About 100 dB below full scale: a quiet recorder. */
const NOISE_RMS = 7e-6;

describe('lines in noise', () => {
  it.each([-15, -30, -45, -60, -80])(
    'are one for one tone at %d dBFS, wherever it lies between two bins: the skirt of the window is none.',
    (levelDbFs) => {
      for (const frequencyHz of [49.8, 50, 50.13, 50.2, 99.9, 1100.2]) {
        const { lines } = noiseAndLines(sound([{ frequencyHz, levelDbFs }]), {
          sampleRateHz: RATE,
          tonesHz: TRACK_TONES_HZ,
        });
        expect(lines).toHaveLength(1);
        expect(Math.abs(lines[0].frequencyHz - frequencyHz)).toBeLessThan(0.2);
        // Taking out 55 Hz takes up to half a decibel of a tone 5 Hz below it.
        expect(Math.abs(lines[0].levelDbFs - levelDbFs)).toBeLessThan(0.5);
      }
    },
  );

  it('are two for two tones 7 Hz apart, the weaker 40 dB below.', () => {
    const tones = [
      { frequencyHz: 50, levelDbFs: -20 },
      { frequencyHz: 57, levelDbFs: -60 },
    ];
    const { lines } = noiseAndLines(sound(tones), { sampleRateHz: RATE, tonesHz: [] });
    expect(lines.map(({ frequencyHz }) => Math.round(frequencyHz))).toEqual([50, 57]);
    expect(Math.abs(lines[1].levelDbFs + 60)).toBeLessThan(0.3);
  });

  it('are none in noise alone, up to the end of the band.', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const { lines } = noiseAndLines(sound([], seed), { sampleRateHz: RATE, tonesHz: TRACK_TONES_HZ });
      expect(lines).toEqual([]);
    }
  });
});

function sound(tones: readonly { frequencyHz: number; levelDbFs: number }[], seed = 7): Float32Array {
  const random = seededRandom(seed);
  return Float32Array.from({ length: SECONDS * RATE }, (_, n) =>
    tones.reduce(
      (sum, { frequencyHz, levelDbFs }) =>
        sum + 10 ** (levelDbFs / 20) * Math.sin((2 * Math.PI * frequencyHz * n) / RATE),
      NOISE_RMS * random.gaussian(),
    ),
  );
}
