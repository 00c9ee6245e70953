import { describe, expect, it } from 'vitest';
import { METER_TONE_SECONDS, meterTones, renderMeterTone } from '../../src/tones/meter-tone.ts';

describe('meter tones', () => {
  it('are 55, 100 and 997 Hz at 0, -5 and -10 dBFS, and at -20 two below and two inside the band of tweeters', () => {
    expect(meterTones.map(({ toneHz, driveDbFs }) => [toneHz, driveDbFs])).toEqual([
      ...[55, 100, 997].flatMap((toneHz) => [0, -5, -10].map((driveDbFs) => [toneHz, driveDbFs])),
      ...[100, 997, 3000, 6000].map((toneHz) => [toneHz, -20]),
    ]);
  });

  it.each([44_100, 48_000])(
    'last a minute at %d Hz, steady, at their level against a full-scale sine (AES17)',
    (rateHz) => {
      for (const tone of meterTones) {
        const samples = renderMeterTone(tone, rateHz);
        expect(samples.length).toBe(METER_TONE_SECONDS * rateHz);
        // Whole seconds hold whole cycles, so that RMS needs no window.
        for (const second of [1, 30, 58]) {
          expect(rmsDbFs(samples.subarray(second * rateHz, (second + 1) * rateHz))).toBeCloseTo(
            tone.driveDbFs,
            2,
          );
        }
        expect(Math.abs(samples[0]) + Math.abs(samples.at(-1)!)).toBeLessThan(4 * 2 ** -15);
        expect(onSixteenBitsBelowFullScale(samples)).toBe(true);
      }
    },
  );

  it('hold their frequency to the sample over the whole minute', () => {
    const samples = renderMeterTone({ toneHz: 997, driveDbFs: -5 }, 48_000);
    let risingZeros = 0;
    for (let i = 48_000; i < 59 * 48_000; i++) if (samples[i - 1] < 0 && samples[i] >= 0) risingZeros++;
    expect(Math.abs(risingZeros - 58 * 997)).toBeLessThanOrEqual(1);
  });
});

/** A plain loop: a callback for each of 50 million samples takes ten seconds. */
function onSixteenBitsBelowFullScale(samples: Float32Array): boolean {
  for (let i = 0; i < samples.length; i++)
    if (!Number.isInteger(samples[i] * 32_768) || Math.abs(samples[i]) >= 1) return false;
  return true;
}

function rmsDbFs(samples: Float32Array): number {
  let sum = 0;
  for (const value of samples) sum += value * value;
  return 10 * Math.log10((2 * sum) / samples.length);
}
