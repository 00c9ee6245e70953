import { expect, test } from 'vitest';
import { averagedTap } from '../../../src/findings/band/averaged-tap.ts';
import { findBand } from '../../../src/findings/band/band.ts';
import { fitTap } from '../../../src/findings/band/fitted-tap.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import { type ExactTap, exactMeasurement, seeded } from '../exact-responses.ts';

const EDGE = { side: 'high-pass', family: 'linkwitz-riley', order: 4, cornerHz: 1103 } as const;
const PLAIN: ExactTap = { edges: [EDGE] };
/** Bass that the radio takes away, far below this tap's band: 0.4 dB are left of it at 550 Hz, and 14 degrees. */
const LESS_BASS: ExactTap = {
  edges: [EDGE],
  eq: [{ kind: 'low shelf', frequencyHz: 98, gainDb: -12, q: 0.5 }],
};

function settings(seed: number, { snrDb, last }: { snrDb: number; last: ExactTap }): TapMeasurement[] {
  const random = seeded(seed);
  return [PLAIN, PLAIN, PLAIN, PLAIN, last].map((left, i) => ({
    ...exactMeasurement({ tapId: 'dash', left, snrDb, random }),
    setting: 10 + i,
  }));
}

const averagedSettings = (measurements: TapMeasurement[]) =>
  averagedTap(measurements, ({ left }) => left)!.takes.map(({ measurement }) => measurement.setting);

test('settings that differ by noise are averaged, and one whose bass has fallen far below the band is left out', () => {
  let kept = 0;
  for (let seed = 1; seed <= 20; seed++) {
    expect(averagedSettings(settings(seed, { snrDb: 30, last: LESS_BASS }))).not.toContain(14);
    kept += averagedSettings(settings(seed, { snrDb: 30, last: PLAIN })).length;
  }
  expect(kept).toBeGreaterThanOrEqual(0.98 * 100);
});

test('beside it the stated uncertainty of the corner covers the truth', () => {
  const covered = Array.from({ length: 40 }, (_, i) => {
    const measurements = settings(100 + i, { snrDb: 30, last: LESS_BASS });
    const { lowEdge } = findBand(fitTap({ tapId: 'dash', carries: 'left', measurements, ceilingHz: null }));
    const filter = lowEdge!.filter as { cornerHz: { value: number; plusMinus: number } };
    return Math.abs(filter.cornerHz.value - EDGE.cornerHz) <= filter.cornerHz.plusMinus;
  }).filter(Boolean).length;
  expect(covered).toBeGreaterThanOrEqual(37); // of 40, 5 % outside; fewer happen once in twenty
});
