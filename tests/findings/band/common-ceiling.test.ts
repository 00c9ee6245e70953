import { expect, test } from 'vitest';
import { findBand } from '../../../src/findings/band/band.ts';
import { findCommonCeiling } from '../../../src/findings/band/common-ceiling.ts';
import { fitTap } from '../../../src/findings/band/fitted-tap.ts';
import type { TapSeries } from '../../../src/findings/tap-series.ts';
import { frequencyResponse } from '../../../src/measure/sweeps/trusted-band.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import {
  type ExactTap,
  exactMeasurement,
  exactResponse,
  measuredResponse,
  seeded,
  sigmaOf,
} from '../exact-responses.ts';

/** A tap behind a file that ends within 300 Hz of its ceiling, as lossy coders' low-passes do (common practice: 16 kHz at 128 kbit/s). */
function series(
  tapId: string,
  tap: ExactTap,
  ceilingHz: number | null,
): Pick<TapSeries, 'tap' | 'carries' | 'measurements'> {
  const random = seeded(tapId.length);
  const exact = exactResponse({ delaySeconds: 0.003, ...tap });
  const pass = (hz: number) =>
    ceilingHz === null ? 1 : Math.max(1e-4, Math.min(1, 10 ** (-(hz - ceilingHz) / 150)));
  const limited = {
    real: exact.real.map((value, i) => value * pass(gridFrequencyHz[i])),
    imag: exact.imag.map((value, i) => value * pass(gridFrequencyHz[i])),
  };
  const left = frequencyResponse(measuredResponse(limited, sigmaOf({ snrDb: 55 }), random));
  const measurement = { ...exactMeasurement({ tapId, snrDb: 55, random }), left };
  const session = {
    id: tapId,
    label: tapId,
    side: 'left',
    position: 'front',
    load: 'speaker',
    connection: 'pair',
  } as const;
  return { tap: session, carries: 'left', measurements: [measurement] };
}

const WOOFER = { edges: [{ side: 'low-pass', family: 'linkwitz-riley', order: 4, cornerHz: 2500 }] } as const;
const TWEETER = {
  edges: [{ side: 'high-pass', family: 'linkwitz-riley', order: 4, cornerHz: 2500 }],
} as const;

test.each([15_000, 16_000, 17_500])(
  'taps that all end at %i Hz show a ceiling of player or file, not a low-pass',
  (ceilingHz) => {
    const taps = [
      series('full', {}, ceilingHz),
      series('woofer', WOOFER, ceilingHz),
      series('tweeter', TWEETER, ceilingHz),
    ];
    const found = findCommonCeiling(taps);
    expect(found?.ceilingHz).toBeGreaterThan(0.97 * ceilingHz);
    expect(found?.ceilingHz).toBeLessThan(1.03 * ceilingHz);
    expect(found?.tapIds).toEqual(['full', 'tweeter']);
    const [full, , tweeter] = taps.map(({ tap, carries, measurements }) =>
      findBand(fitTap({ tapId: tap.id, carries, measurements, ceilingHz: found!.ceilingHz })),
    );
    expect(full).toMatchObject({ verdict: 'full range', highEdge: null });
    expect(tweeter.highEdge).toBeNull();
    expect(tweeter.lowEdge?.filter).toMatchObject({ family: 'linkwitz-riley', order: 4 });
  },
);

test('without a ceiling there is none, crossovers and treble cuts included', () => {
  const cut = { eq: [{ kind: 'high shelf', frequencyHz: 6000, gainDb: -10, q: 0.7 }] } as const;
  const steep = {
    edges: [{ side: 'low-pass', family: 'linkwitz-riley', order: 8, cornerHz: 9000 }],
  } as const;
  expect(
    findCommonCeiling([series('full', {}, null), series('woofer', WOOFER, null), series('cut', cut, null)]),
  ).toBeNull();
  expect(findCommonCeiling([series('steep', steep, null)])).toBeNull();
});

test('one tap that goes on beyond the edge clears player and file', () => {
  expect(findCommonCeiling([series('ends', {}, 16_000), series('goes on', TWEETER, null)])).toBeNull();
});
