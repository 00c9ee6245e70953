import { expect, test } from 'vitest';
import { resampled } from '../../src/dsp/fractional-resampler.ts';
import { sweepTimeOf } from '../../src/dsp/sweep.ts';
import { kaiser, sinc } from '../../src/dsp/windowed-sinc.ts';
import { responseTrack, sectionOf, sectionValues } from '../../src/tones/track.ts';

const PASS_BAND_HZ = 20_000;

/** RMS of the difference from a unit sine at the shifted times, in decibels below the sine's RMS. */
function errorDb({
  toneHz,
  inputHz,
  outputHz,
  first,
}: {
  toneHz: number;
  inputHz: number;
  outputHz: number;
  first: number;
}): number {
  const input = Float64Array.from({ length: 3000 }, (_, n) => Math.sin((2 * Math.PI * toneHz * n) / inputHz));
  const step = inputHz / outputHz;
  const output = resampled(input, { first, step, count: 2000, passBand: PASS_BAND_HZ / inputHz });
  let square = 0;
  for (let i = 0; i < output.length; i++) {
    const closedForm = Math.sin((2 * Math.PI * toneHz * (first + i * step)) / inputHz);
    square += (output[i] - closedForm) ** 2;
  }
  return 10 * Math.log10((2 * square) / output.length);
}

test.each([
  [44_100, 44_100 * (1 + 100e-6)],
  [44_100, 48_000],
  [48_000, 48_000 * (1 - 37e-6)],
  [48_000, 96_000 * (1 + 500e-6)],
  [48_000, 44_100 * (1 + 37e-6)],
])('tones up to 20 kHz come from %i to %f Hz with errors below -100 dB', (inputHz, outputHz) => {
  for (const toneHz of [20, 997, 10_007, 19_999]) {
    expect(errorDb({ toneHz, inputHz, outputHz, first: 200.37 })).toBeLessThan(-100);
  }
});

test('positions that fall on samples give those samples, and zero outside', () => {
  const input = Float64Array.of(0, 0, 1, -2, 3, 0.5, 0);
  const output = resampled(input, { first: -2, step: 1, count: 11, passBand: 0.4 });
  [0, 0, 0, 0, 1, -2, 3, 0.5, 0, 0, 0].forEach((expected, i) => {
    expect(output[i]).toBeCloseTo(expected, 12);
  });
});

test('what a coarser output cannot carry is removed by 100 dB', () => {
  const inputHz = 96_000;
  const input = Float64Array.from({ length: 4000 }, (_, n) => Math.sin((2 * Math.PI * 29_000 * n) / inputHz));
  const output = resampled(input, { first: 400.2, step: 2, count: 1500, passBand: 20_000 / inputHz });
  expect(Math.max(...output.map(Math.abs))).toBeLessThan(1e-5);
});

test('the test track itself, drifting by 200 ppm, lies on its closed form', () => {
  const rateHz = 48_000;
  const section = sectionOf(responseTrack, 'sweep', 'closing left')!;
  const valueAt = sectionValues(section);
  const count = Math.round(section.durationSeconds * rateHz);
  const input = Float64Array.from({ length: count }, (_, n) => valueAt(section.startSeconds + n / rateHz));
  const step = 1 / (1 + 200e-6);
  const output = resampled(input, { first: 0.4, step, count, passBand: PASS_BAND_HZ / rateHz });
  // Where the sweep begins and ends its fades it is not band-limited; the test ends before the last of them.
  const last = Math.floor(sweepTimeOf(section.sweep, 19_000) * rateHz);
  let worst = 0;
  for (let i = 200; i < last; i++) {
    const closedForm = valueAt(section.startSeconds + (0.4 + i * step) / rateHz);
    worst = Math.max(worst, Math.abs(output[i] - closedForm));
  }
  expect(20 * Math.log10(worst / 10 ** (section.driveDbFs / 20))).toBeLessThan(-100);
});

// Kaiser window, scipy.signal.windows.kaiser(5, 8): symmetric, ends at 1 / I0(8).
test('the Kaiser window has the values of scipy', () => {
  expect(kaiser(-1, 8)).toBeCloseTo(0.002338830513, 11);
  expect(kaiser(0.5, 8)).toBeCloseTo(0.368972722616, 11);
  expect(kaiser(0, 8)).toBe(1);
  expect(kaiser(1.01, 8)).toBe(0);
  expect(sinc(0)).toBe(1);
  expect(sinc(3)).toBeCloseTo(0, 15);
});
