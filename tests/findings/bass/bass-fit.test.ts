import { describe, expect, it } from 'vitest';
import {
  type BassCurve,
  fitMovingHighPass,
  highPassDb,
  shelfOfCorners,
} from '../../../src/findings/bass/bass-fit.ts';

const FREQUENCIES = Float64Array.from({ length: 24 }, (_, i) => 20 * 2 ** (i / 4));
/** Butterworth of order 2, written out: |H|^2 = 1 / (1 + (corner / f)^4). */
const butterworth2 = (corner: number, hz: number) => -10 * Math.log10(1 + (corner / hz) ** 4);
const curve = (setting: number, changeDb: (hz: number) => number): BassCurve => ({
  setting,
  frequencyHz: FREQUENCIES,
  changeDb: FREQUENCIES.map(changeDb),
  sigmaDb: new Float64Array(FREQUENCIES.length).fill(0.05),
});
const MODEL = { family: 'butterworth', order: 2 } as const;

describe('the level of a high-pass', () => {
  it('is 3.01 dB down at a Butterworth’s corner, 6.02 dB at a Linkwitz-Riley’s, 40 log 2 an octave below order 2.', () => {
    const at = (family: 'butterworth' | 'linkwitz-riley', order: number, hz: number) =>
      highPassDb({ family, order }, 80, Float64Array.of(hz))[0];
    expect(at('butterworth', 2, 80)).toBeCloseTo(-3.0103, 4);
    expect(at('linkwitz-riley', 4, 80)).toBeCloseTo(-6.0206, 4);
    expect(at('butterworth', 2, 8) - at('butterworth', 2, 4)).toBeCloseTo(40 * Math.log10(2), 2);
    expect(at('linkwitz-riley', 4, 8) - at('linkwitz-riley', 4, 4)).toBeCloseTo(80 * Math.log10(2), 2);
    expect(at('butterworth', 2, 60)).toBeCloseTo(butterworth2(80, 60), 9);
  });

  it('over another of its order is a shelf, in the middle of both corners, 12 dB an octave of order 2 deep.', () => {
    expect(shelfOfCorners(2, { fromHz: 30, cornerHz: 120 })).toEqual({
      frequencyHz: 60,
      gainDb: expect.closeTo(-24.0824, 4),
    });
  });
});

describe('a high-pass that climbs', () => {
  it('from nothing has a corner for each setting.', () => {
    const fit = fitMovingHighPass({
      curves: [curve(20, (hz) => butterworth2(37, hz)), curve(30, (hz) => butterworth2(91, hz))],
      model: MODEL,
      base: 'none',
    });
    expect(fit.sumOfSquares).toBeLessThan(1e-4);
    expect(fit.corners).toEqual([
      { fromHz: null, cornerHz: expect.closeTo(37, 1) },
      { fromHz: null, cornerHz: expect.closeTo(91, 1) },
    ]);
  });

  it('from a corner that all settings share has that, and what level it costs besides.', () => {
    const moved = (corner: number, offset: number) => (hz: number) =>
      butterworth2(corner, hz) - butterworth2(33, hz) + offset;
    const fit = fitMovingHighPass({
      curves: [curve(20, moved(55, 0.3)), curve(30, moved(110, -0.5))],
      model: MODEL,
      base: 'shared',
    });
    expect(fit.sumOfSquares).toBeLessThan(1e-3);
    for (const [i, cornerHz] of [55, 110].entries()) {
      expect(fit.corners[i].fromHz).toBeCloseTo(33, 0);
      expect(fit.corners[i].cornerHz).toBeCloseTo(cornerHz, 0);
    }
  });

  it('or from a corner of each setting’s own, misfits added.', () => {
    const curves = [
      curve(20, (hz) => butterworth2(60, hz) - butterworth2(25, hz)),
      curve(30, (hz) => butterworth2(120, hz) - butterworth2(50, hz)),
    ];
    const each = fitMovingHighPass({ curves, model: MODEL, base: 'each' });
    expect(each.corners.map(({ fromHz }) => Math.round(fromHz!))).toEqual([25, 50]);
    expect(each.corners.map(({ cornerHz }) => Math.round(cornerHz))).toEqual([60, 120]);
    const shared = fitMovingHighPass({ curves, model: MODEL, base: 'shared' });
    expect(shared.sumOfSquares).toBeGreaterThan(100 * each.sumOfSquares + 1);
  });

  it('misfits by the squares of what is left over its noise; an offset is allowed up to 1.2 dB.', () => {
    const lifted = (offset: number) =>
      fitMovingHighPass({
        curves: [curve(20, (hz) => butterworth2(60, hz) + offset)],
        model: MODEL,
        base: 'none',
      }).sumOfSquares;
    expect(lifted(1.1)).toBeLessThan(1e-3);
    expect(lifted(1.6)).toBeGreaterThan(10);
    const ripple = fitMovingHighPass({
      curves: [
        {
          ...curve(20, () => 0),
          changeDb: FREQUENCIES.map((hz, i) => butterworth2(60, hz) + (i % 2 === 0 ? 0.1 : -0.1)),
        },
      ],
      model: MODEL,
      base: 'none',
    });
    // 24 points of 0.1 dB over 0.05 dB: 96, less what two parameters take.
    expect(ripple.sumOfSquares).toBeGreaterThan(80);
    expect(ripple.sumOfSquares).toBeLessThan(96.1);
  });
});
