import { expect, test } from 'vitest';
import { decimatorBy } from '../../src/dsp/decimate.ts';

function levelDb(frequencyHz: number, factor: number): number {
  const samples = Float64Array.from({ length: 20_000 }, (_, n) =>
    Math.sin((2 * Math.PI * frequencyHz * n) / 48_000),
  );
  const output = decimatorBy(factor).decimate(samples);
  return 10 * Math.log10((2 * output.reduce((sum, value) => sum + value * value, 0)) / output.length);
}

test.each([8, 16, 18])(
  'decimating by %i keeps what lies below a quarter of the new rate within 1 dB',
  (factor) => {
    for (const part of [0.02, 0.1, 0.25])
      expect(Math.abs(levelDb((part * 48_000) / factor, factor))).toBeLessThan(1);
  },
);

test.each([8, 16, 18])('decimating by %i puts aliases into its lower half at least 50 dB down', (factor) => {
  for (const part of [0.76, 0.9, 1.1, 2.2])
    expect(levelDb((part * 48_000) / factor, factor)).toBeLessThan(-50);
});

test('output j is centred on input sample margin + j times factor', () => {
  const decimator = decimatorBy(8);
  const impulse = new Float64Array(400);
  impulse[decimator.margin + 5 * 8] = 1;
  const output = decimator.decimate(impulse);
  expect(output.indexOf(Math.max(...output))).toBe(5);
});
