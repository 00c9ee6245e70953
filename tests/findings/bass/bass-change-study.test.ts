import { expect, test } from 'vitest';
import { measurementsOf, pass, shelf } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';
import { bassOf, radioWith } from './bass-of.ts';

test('no volume dependence is steady: 200 random flat and fixed-EQ radios, 20 to 70 dB of SNR, without one false claim', () => {
  const verdicts = new Map<string, number>();
  for (let seed = 1; seed <= 200; seed++) {
    const random = seededRandom(1000 + seed);
    const fixed = [
      shelf(60 + 100 * random(), 12 * (random() - 0.5)),
      pass('high-pass', 20 + 60 * random(), { order: 2, family: 'butterworth' }),
    ].slice(0, Math.floor(3 * random()));
    const radio = radioWith(() => fixed, { snrDb: 20 + 50 * random() });
    const { changes, loudness } = bassOf(measurementsOf({ radio, settings: [10, 16, 22, 28], random }));
    expect(loudness).toEqual([]);
    expect(changes[0].onset).toBeNull();
    verdicts.set(changes[0].verdict, (verdicts.get(changes[0].verdict) ?? 0) + 1);
  }
  expect(verdicts.get('falls with volume')).toBeUndefined();
  expect(verdicts.get('steady')).toBeGreaterThan(190);
});
