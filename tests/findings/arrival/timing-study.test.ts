import { expect, test } from 'vitest';
import { findTiming } from '../../../src/findings/arrival/timing.ts';
import { seeded } from '../exact-responses.ts';
import { fitted } from './fitted-taps.ts';

test('polarity is never wrong where it is not called ambiguous, and delays lie within what is stated, over 40 band-split taps at 20 to 60 dB', () => {
  const random = seeded(77);
  const pick = <Value>(values: readonly Value[]) => values[Math.floor(random() * values.length)];
  let told = 0;
  let covered = 0;
  let stated = 0;
  for (let i = 0; i < 40; i++) {
    const cornerHz = 60 * 60 ** random();
    const shape = pick([
      { family: 'butterworth', order: 2 },
      { family: 'butterworth', order: 3 },
      { family: 'linkwitz-riley', order: 4 },
      { family: 'bessel', order: 2 },
    ] as const);
    const inverted = random() < 0.5;
    const side = pick(['low-pass', 'high-pass'] as const);
    const delaySeconds = 0.002 * random();
    const taps = fitted(
      { ref: {}, tap: { edges: [{ side, ...shape, cornerHz }], inverted, delaySeconds } },
      { snrDb: pick([20, 30, 40, 60]), seed: 1000 + i },
    );
    const [timing] = findTiming({ taps, referenceTapId: 'ref' });
    const { polarity } = timing;
    if ('value' in timing.delaySeconds) {
      stated++;
      const { value, plusMinus } = timing.delaySeconds;
      if (Math.abs(value - delaySeconds) <= plusMinus) covered++;
    }
    if (polarity === 'ambiguous') continue;
    told++;
    expect(polarity, `case ${i}`).toBe(inverted ? 'inverted' : 'same');
  }
  expect(told).toBeGreaterThan(36);
  expect(stated).toBeGreaterThan(36);
  // Stated for 95 of 100; in 40 draws fewer than 35 of them are one chance in a hundred (binomial distribution).
  expect(covered / stated).toBeGreaterThan(0.87);
});
