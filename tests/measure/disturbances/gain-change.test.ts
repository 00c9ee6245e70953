import { expect, test } from 'vitest';
import { seededRandom } from '../../../src/dsp/random.ts';
import { gainChangeDb, withUnsteadyGain } from '../../../src/measure/disturbances/gain-change.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';

/** Butterworth magnitude of order 3 (closed form) with noise of its own; the closing sweep has twice the opening one's. */
function lowPassed({
  cornerHz,
  sigma,
  gainDb,
  seed,
}: Record<'cornerHz' | 'sigma' | 'gainDb' | 'seed', number>) {
  const random = seededRandom(seed);
  const gain = 10 ** (gainDb / 20);
  const magnitude = gridFrequencyHz.map((hz) => gain / Math.sqrt(1 + (hz / cornerHz) ** 6));
  return {
    real: magnitude.map((value) => value + sigma * random.gaussian()),
    imag: magnitude.map(() => sigma * random.gaussian()),
    sigma: magnitude.map(() => sigma),
  };
}

const opened = (cornerHz: number, sigma: number, seed: number) =>
  lowPassed({ cornerHz, sigma, gainDb: 0, seed: 2 * seed });
const closed = (cornerHz: number, sigma: number, seed: number, gainDb: number) =>
  lowPassed({ cornerHz, sigma: 2 * sigma, gainDb, seed: 2 * seed + 1 });

test('noise beside a subwoofer’s slope is no change of gain: 400 steady takes, 20 to 60 dB over the noise', () => {
  for (let seed = 0; seed < 400; seed++) {
    const [cornerHz, sigma] = [60 + (seed % 10) * 15, 10 ** (-(20 + (seed % 41)) / 20)];
    const opening = opened(cornerHz, sigma, seed);
    const change = gainChangeDb({ opening, closing: closed(cornerHz, sigma, seed, 0) });
    expect(withUnsteadyGain(opening, change)).toBe(opening);
  }
});

test('a gain that changed by half a decibel is told, and what it leaves uncertain is half of it', () => {
  for (const cornerHz of [80, 5000]) {
    const opening = opened(cornerHz, 1e-3, 1);
    const change = gainChangeDb({ opening, closing: closed(cornerHz, 1e-3, 1, -0.5) })!;
    expect(Math.abs(change.value + 0.5)).toBeLessThan(change.plusMinus);
    const { sigma } = withUnsteadyGain(opening, change);
    // Half of 0.5 dB is 2.9 % (exact: 10^(0.25 / 20) - 1).
    expect(sigma[160] / Math.hypot(opening.real[160], opening.imag[160])).toBeCloseTo(0.029, 2);
  }
});
