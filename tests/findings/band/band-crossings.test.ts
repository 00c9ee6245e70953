import { describe, expect, it } from 'vitest';
import { fitMisfitDb, outermostCrossingHz } from '../../../src/findings/band/band-points.ts';
import type { FittedTap } from '../../../src/findings/band/fitted-tap.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';

const N = gridFrequencyHz.length;

describe('where a curve leaves a level for good', () => {
  const crossing = (
    db: (hz: number, i: number) => number,
    side: 'low' | 'high',
    of: { thresholdDb?: number; rangeHz?: readonly [number, number] } = {},
  ) => outermostCrossingHz(gridFrequencyHz.map(db), { thresholdDb: -3, rangeHz: [12, 19_000], side, ...of });
  /** |H|^2 = 1 / (1 + (fc / f)^2n) of a high-pass, Butterworth: 3.0103 dB at its corner. */
  const highPass = (cornerHz: number) => (hz: number) => -10 * Math.log10(1 + (cornerHz / hz) ** 8);
  const half = { thresholdDb: -10 * Math.log10(2) };

  it('is its corner at the low end too, between two points of the grid.', () => {
    for (const cornerHz of [81.3, 134.874, 613.9])
      expect(Math.abs(crossing(highPass(cornerHz), 'low', half)! / cornerHz - 1)).toBeLessThan(2e-5);
  });

  it('is the outermost: dips inside and what rises again outside do not count.', () => {
    const dip = (hz: number) => (hz > 500 && hz < 600 ? -20 : highPass(100)(hz));
    expect(crossing(dip, 'low', half)).toBeCloseTo(100, 2);
    // A straight fall of 12 dB an octave above 4 kHz: 3 dB at 4000 x 2^(1/4) Hz.
    const fall = (hz: number) => Math.min(0, -12 * Math.log2(hz / 4000));
    expect(crossing(fall, 'high')).toBeCloseTo(4000 * 2 ** 0.25, 1);
    expect(crossing((hz) => (hz > 900 && hz < 1000 ? -20 : fall(hz)), 'high')).toBeCloseTo(
      4000 * 2 ** 0.25,
      1,
    );
  });

  it('is none where the end is still above, where nothing is, and outside of what was fitted.', () => {
    expect([crossing(() => 0, 'low'), crossing(() => 0, 'high'), crossing(() => -9, 'low')]).toEqual([
      null,
      null,
      null,
    ]);
    const within = (lowHz: number, highHz: number) =>
      crossing(highPass(100), 'low', { ...half, rangeHz: [lowHz, highHz] }) !== null;
    expect([within(99, 5000), within(101, 5000), within(20, 99), within(20, 101)]).toEqual([
      true,
      false,
      false,
      true,
    ]);
  });

  it('is read on a straight line beside the ends of the grid, where nothing bends.', () => {
    const between = (one: number, other: number, part: number) => one * (other / one) ** part;
    // From -6 to 0 dB over one step: -3 dB in the middle of it.
    expect(crossing((_, i) => (i === 0 ? -6 : 0), 'low', { rangeHz: [1, 1e5] })).toBeCloseTo(
      between(gridFrequencyHz[0], gridFrequencyHz[1], 0.5),
      6,
    );
    expect(crossing((_, i) => (i === N - 1 ? -6 : 0), 'high', { rangeHz: [1, 1e5] })).toBeCloseTo(
      between(gridFrequencyHz[N - 1], gridFrequencyHz[N - 2], 0.5),
      3,
    );
    expect(crossing((_, i) => (i === N - 1 ? -4 : 0), 'high', { rangeHz: [1, 1e5] })).toBeCloseTo(
      between(gridFrequencyHz[N - 1], gridFrequencyHz[N - 2], 0.25),
      3,
    );
  });
});

describe('what a fit misses', () => {
  /** A fit of a gain alone, and data that lie beside it by so many nepers within an octave of 1 kHz. */
  const tap = (of: {
    missedNeper: number;
    noiseNeper: number;
    elsewhereNeper?: number;
    reducedChiSquare?: number;
  }) =>
    ({
      data: {
        frequencyHz: gridFrequencyHz,
        lnMagnitude: gridFrequencyHz.map((hz) =>
          Math.abs(Math.log2(hz / 1000)) <= 1 ? 0.5 + of.missedNeper : 0.5 + (of.elsewhereNeper ?? 0),
        ),
        weight: new Float64Array(N).fill(1 / of.noiseNeper),
      },
      best: {
        fit: { shape: { terms: [], sampleRateHz: null }, parameters: Float64Array.of(0.5, 0), halfTurns: 0 },
      },
      reducedChiSquare: of.reducedChiSquare ?? 9,
    }) as unknown as FittedTap;

  it('is the RMS over an octave either way, less what noise explains: 0.1 of which 0.06 are noise are 0.08, 0.695 dB.', () => {
    const db = (0.08 * 20) / Math.LN10;
    expect(fitMisfitDb(tap({ missedNeper: 0.1, noiseNeper: 0.06, elsewhereNeper: 3 }), 1000)).toBeCloseTo(
      db,
      6,
    );
    expect(fitMisfitDb(tap({ missedNeper: -0.1, noiseNeper: 0.06 }), 1000)).toBeCloseTo(db, 6);
    expect(fitMisfitDb(tap({ missedNeper: 0.05, noiseNeper: 0.06 }), 1000)).toBe(0);
  });

  it('is nothing where the fit is good, and nothing where no data are.', () => {
    const missed = { missedNeper: 0.1, noiseNeper: 0.06 };
    expect(fitMisfitDb(tap({ ...missed, reducedChiSquare: 1.9 }), 1000)).toBe(0);
    expect(fitMisfitDb(tap({ ...missed, reducedChiSquare: 2.1 }), 1000)).toBeGreaterThan(0.5);
    expect(fitMisfitDb(tap(missed), 200_000)).toBe(0);
  });
});
