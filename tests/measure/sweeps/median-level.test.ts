import { expect, it } from 'vitest';
import { medianDb } from '../../../src/measure/sweeps/median-level.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';

const responseOf = (magnitude: (hz: number) => number, trustedHz: [number, number]) => ({
  real: gridFrequencyHz.map(magnitude),
  imag: new Float64Array(gridFrequencyHz.length),
  trustedHz,
});

it('the level of a low-passed output does not hang on how far down its skirt the noise lets one see', () => {
  // Butterworth, third order, 100 Hz: |H| = 1 / sqrt(1 + (f / fc)^6) is 20 dB down at 215 Hz.
  const lowPass = (hz: number) => 0.1 / Math.sqrt(1 + (hz / 100) ** 6);
  const [near, far] = [300, 900].map((upToHz) => medianDb(responseOf(lowPass, [20, upToHz])));
  expect(far).toBe(near);
  // The middle of 20 to 215 Hz on the logarithmic grid is 65.6 Hz, 0.3 dB down.
  expect(near).toBeCloseTo(20 * Math.log10(lowPass(Math.sqrt(20 * 215))), 1);
});

it('the level of a full-range output is that of its middle, however its bass is lifted', () => {
  // A first-order low shelf, 12 dB at 80 Hz: |H|^2 = (f^2 + G f0^2) / (f^2 + f0^2 / G).
  const shelf = (hz: number) => Math.sqrt((hz ** 2 + 4 * 80 ** 2) / (hz ** 2 + 80 ** 2 / 4));
  expect(medianDb(responseOf(shelf, [20, 20_000]))!).toBeCloseTo(20 * Math.log10(shelf(632)), 1);
});

it('nothing where nothing is trusted', () => {
  expect(medianDb({ ...responseOf(() => 1, [20, 200]), trustedHz: null })).toBeNull();
});
