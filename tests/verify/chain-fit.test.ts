import { describe, expect, it } from 'vitest';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { filterResponse, fitChain } from '../../src/verify/chain-fit.ts';
import { pointAt } from './exact-recordings.ts';

const at80 = (type: 'low-pass' | 'high-pass', slopeDbPerOctave: number) => ({
  type,
  cornerHz: 80,
  slopeDbPerOctave,
});
const response = (
  ...of: { family: 'butterworth' | 'linkwitz-riley' | null; slope: number; hz?: number }[]
) => {
  const { real, imag } = filterResponse(
    of.map(({ family, hz }) => ({ family, cornerHz: hz ?? 80 })),
    of.map(({ slope }) => at80(slope < 0 ? 'high-pass' : 'low-pass', Math.abs(slope))),
  );
  return (hz: number) => {
    const i = pointAt(hz);
    return {
      db: 20 * Math.log10(Math.hypot(real[i], imag[i])),
      degrees: (180 / Math.PI) * Math.atan2(imag[i], real[i]),
    };
  };
};

describe('fitted filters as complex numbers', () => {
  const corner = 1000; // a point of the grid

  // Butterworth: -3.0103 dB and n times -45 degrees at the corner; -12.3045 and -24.0993 dB an octave on for orders 2 and 4.
  it('turn and lose at the corner what the closed form says.', () => {
    const low = response({ family: 'butterworth', slope: 12, hz: corner });
    expect(low(corner).db).toBeCloseTo(-3.0103, 4);
    expect(low(corner).degrees).toBeCloseTo(-90, 4);
    const high = response({ family: 'butterworth', slope: -12, hz: corner });
    expect(high(corner).degrees).toBeCloseTo(90, 4);
    const order4 = response({ family: 'linkwitz-riley', slope: 24, hz: corner });
    expect(order4(corner).db).toBeCloseTo(-6.0206, 4);
    expect(Math.abs(order4(corner).degrees)).toBeCloseTo(180, 4);
  });

  it('behind one another multiply; one that is off changes nothing.', () => {
    const both = response(
      { family: 'butterworth', slope: 6, hz: corner },
      { family: 'butterworth', slope: 12, hz: corner },
    );
    expect(both(corner).db).toBeCloseTo(-2 * 3.0103, 4);
    expect(both(corner).degrees).toBeCloseTo(-135, 4);
    // An octave above both corners: H = 1 / (1 + 2j) and 1 / (1 - 4 + 2 sqrt(2) j), -63.43 and -136.69 degrees.
    const octaveAbove = response(
      { family: 'butterworth', slope: 6, hz: corner / 2 },
      { family: 'butterworth', slope: 12, hz: corner / 2 },
    )(corner);
    expect(octaveAbove.db).toBeCloseTo(-10 * Math.log10(5) - 10 * Math.log10(17), 4);
    expect(octaveAbove.degrees).toBeCloseTo(360 - 63.4349 - 136.6861, 3);
    const off = response({ family: null, slope: 12 }, { family: 'butterworth', slope: 6, hz: corner });
    expect(off(corner).degrees).toBeCloseTo(-45, 4);
  });
});

describe('the knobs', () => {
  const points = [...gridFrequencyHz.keys()].filter(
    (i) => i % 4 === 0 && gridFrequencyHz[i] > 25 && gridFrequencyHz[i] < 300,
  );
  const none = points.map(() => 0);
  const from = (db: (hz: number) => number, boostDb = none) => ({
    points,
    boostDb,
    differenceDb: points.map((i) => db(gridFrequencyHz[i])),
  });

  it('are a gain and nothing else where the difference is the same everywhere.', () => {
    const fit = fitChain([from(() => -2.5)], []);
    expect(fit).toEqual({ gainDb: -2.5, restorationShare: null, filters: [], residualDb: 0 });
  });

  it('leave what they cannot explain: 1 dB up and down in turn is a deviation of 1 dB.', () => {
    const inTurn = { points, boostDb: none, differenceDb: points.map((_, j) => (j % 2 === 0 ? 4 : 2)) };
    const fit = fitChain([inTurn], []);
    expect(points.length % 2).toBe(0);
    expect(fit.gainDb).toBeCloseTo(3, 9);
    expect(fit.residualDb).toBeCloseTo(1, 9);
  });

  it('find a filter that was never switched on.', () => {
    const fit = fitChain([from(() => 1)], [at80('low-pass', 24)]);
    expect(fit.filters).toEqual([{ family: null, cornerHz: 80 }]);
    expect(fit.gainDb).toBeCloseTo(1, 6);
  });

  // |H|^2 = 1 / (1 + (f/fc)^8) and 1 / (1 + (f/fc)^4)^2 (closed forms); corners an octave either side are tried.
  it.each([
    [40, 'butterworth'],
    [160, 'butterworth'],
    [80, 'linkwitz-riley'],
  ] as const)('find a low-pass at %d Hz, %s.', (hz, family) => {
    const loss = (f: number) =>
      family === 'butterworth' ? -10 * Math.log10(1 + (f / hz) ** 8) : -20 * Math.log10(1 + (f / hz) ** 4);
    const fit = fitChain([from((f) => 2 + loss(f))], [at80('low-pass', 24)]);
    expect(fit.filters[0].family).toBe(family);
    expect(fit.filters[0].cornerHz).toBeCloseTo(hz, 3);
    expect(fit.gainDb).toBeCloseTo(2, 3);
    expect(fit.residualDb).toBeLessThan(1e-3);
  });

  it('tell a share of restoration from a gain once the boost varies by half a decibel over the data.', () => {
    const boost = (most: number) => points.map((_, j) => (j % 2 === 0 ? most : 0));
    const half = (boostDb: number[]) => ({
      ...from(() => 0, boostDb),
      differenceDb: boostDb.map((db) => 1 - db / 2),
    });
    const told = fitChain([half(boost(2))], []);
    expect(told.gainDb).toBeCloseTo(1, 9);
    expect(told.restorationShare).toBeCloseTo(-0.5, 9);
    // A boost of 0 and 0.9 dB in turn deviates by 0.45 dB, of 0 and 1.1 by 0.55.
    expect(fitChain([half(boost(0.9))], []).restorationShare).toBeNull();
    expect(fitChain([half(boost(1.1))], []).restorationShare).toBeCloseTo(-0.5, 9);
  });
});
