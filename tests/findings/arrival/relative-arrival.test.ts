import { describe, expect, it } from 'vitest';
import { logResponse } from '../../../src/dsp/fit/log-response.ts';
import { relativeArrival } from '../../../src/findings/arrival/relative-arrival.ts';
import type { FittedTap } from '../../../src/findings/band/fitted-tap.ts';
import { sameShape } from '../../../src/findings/bass/same-shape.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import { exactResponse } from '../../measure/exact-response.ts';

type Of = Parameters<typeof exactResponse>[0];
interface Shift {
  readonly origin: string;
  readonly seconds: number;
  readonly sigma?: number;
}

/** A flat output as its takes' average, with what its fit rests on; each take has a time zero and a shift of its own. */
function flatTap(of: Of, shifts: readonly Shift[], rangeHz: readonly [number, number] = [20, 19_000]) {
  const response = exactResponse(of);
  const take = ({ origin, seconds, sigma = 1e-7 }: Shift) => ({
    measurement: { timeOrigin: origin, left: response } as TapMeasurement,
    shiftSeconds: seconds,
    shiftSigmaSeconds: sigma,
  });
  return {
    carries: 'left',
    measurements: [],
    average: { response, takes: shifts.map(take) },
    data: logResponse(response, { frequencyHz: gridFrequencyHz, rangeHz }),
  } as unknown as FittedTap;
}
const ONE = [{ origin: 'a', seconds: 0 }];
const SIGMA = 1e-4;

describe('the arrival of an output against one of the same shape', () => {
  const against = (of: Of, shifts: readonly Shift[] = ONE, others: readonly Shift[] = ONE) =>
    relativeArrival({
      tap: flatTap({ sigma: SIGMA, seed: 2, ...of }, shifts),
      reference: flatTap({ sigma: SIGMA, seed: 1, delaySeconds: 1e-3 }, others),
    });

  it('is the delay between them, whatever their levels, and its sign.', () => {
    const late = against({ gain: 0.3, delaySeconds: 1.25e-3 })!;
    expect(late.delaySeconds).toBeCloseTo(2.5e-4, 7);
    expect(late).toMatchObject({ polarity: 'same', reason: null });
    expect(late.sigmaSeconds).toBeGreaterThan(0);
    expect(late.sigmaSeconds).toBeLessThan(1e-7);
    const inverted = against({ gain: -2, delaySeconds: 0.9e-3 })!;
    expect(inverted.delaySeconds).toBeCloseTo(-1e-4, 7);
    expect(inverted.polarity).toBe('inverted');
  });

  it('is less sure where there is more noise, in proportion.', () => {
    const sigma = (factor: number) =>
      relativeArrival({
        tap: flatTap({ sigma: factor * SIGMA, seed: 2 }, ONE),
        reference: flatTap({ sigma: factor * SIGMA, seed: 1 }, ONE),
      })!.sigmaSeconds;
    expect(sigma(3) / sigma(1)).toBeCloseTo(3, 1);
  });

  it('is the mean over the takes that share a time zero.', () => {
    const shifts = (...seconds: number[]) => seconds.map((value, i) => ({ origin: `${i}`, seconds: value }));
    const found = against({ delaySeconds: 1e-3 }, shifts(2e-6, 4e-6, 6e-6), shifts(1e-6, 1e-6, 1e-6))!;
    expect(found.delaySeconds).toBeCloseTo(3e-6, 8);
    // 1, 3 and 5 scatter by 2 microseconds: over the root of 3 takes.
    expect(found.sigmaSeconds).toBeCloseTo(2e-6 / Math.sqrt(3), 8);
    const alone = against({}, [{ origin: 'a', seconds: 0 }], [{ origin: 'b', seconds: 0 }]);
    expect(alone).toBeNull();
  });

  it('is less sure by the noise of takes that only one of them has.', () => {
    const shifts = [0, 1, 2, 3].map((i) => ({ origin: `${i}`, seconds: 0, sigma: 1e-6 }));
    const both = against({}, shifts, shifts)!.sigmaSeconds;
    const half = against({}, shifts, shifts.slice(0, 1))!.sigmaSeconds;
    expect(both).toBeLessThan(1e-7);
    // Of one of four takes: sigma^2 of both over two, times (1 / 1 - 1 / 4).
    expect(half).toBeCloseTo(1e-6 * Math.sqrt(0.75), 8);
  });
});

describe('two responses of one shape', () => {
  // Late, so that real and imaginary parts both count.
  const LATE = 0.001;
  const flat = exactResponse({ sigma: 1e-6, seed: 1, delaySeconds: LATE });
  const like = ({ delaySeconds = 0, ...of }: Of, one = flat) =>
    sameShape(one, exactResponse({ sigma: 1e-6, seed: 2, ...of, delaySeconds: LATE + delaySeconds }));
  const bump = (db: number, lowHz: number, highHz: number) => ({
    at: (hz: number) => ({ real: 10 ** ((hz > lowHz && hz < highHz ? db : 0) / 20), imag: 0 }),
  });

  it('differ by level and delay alone.', () => {
    expect(like({ gain: 0.25, delaySeconds: 0.003 })).toBe(true);
    expect(like({ gain: -1 })).toBe(false);
  });

  it('stay within 0.1 dB over a quarter of an octave.', () => {
    expect(like(bump(0.11, 1000, 1300))).toBe(false);
    expect(like(bump(-0.11, 1000, 1300))).toBe(false);
    expect(like(bump(0.09, 1000, 1300))).toBe(true);
    expect(like(bump(0.11, 1000, 1100))).toBe(true);
  });

  it('and within 0.02 radians, once the delay is out.', () => {
    const turned = (radians: number) => ({
      at: (hz: number) =>
        hz > 60 && hz < 90 ? { real: Math.cos(radians), imag: Math.sin(radians) } : { real: 1, imag: 0 },
    });
    expect(like(turned(0.022))).toBe(false);
    expect(like(turned(-0.022))).toBe(false);
    expect(like(turned(0.018))).toBe(true);
  });

  it('may differ by what noise explains: five standard deviations over a quarter of an octave.', () => {
    const noisy = (db: number) => {
      const [one, other] = [flat, exactResponse({ ...bump(db, 1000, 1300), delaySeconds: LATE })].map(
        (of) => ({
          ...of,
          sigma: new Float64Array(of.sigma.length).fill(0.01),
        }),
      );
      return sameShape(one, other);
    };
    // Noise of 0.0141 on the ratio; 13 points are three values: 0.0082 neper or 0.071 dB, times five.
    expect([noisy(0.33), noisy(0.38)]).toEqual([true, false]);
  });

  it('are not told where they share too little.', () => {
    const within = (low: number, high: number) => ({ ...flat, trustedHz: [low, high] as const });
    const points = (count: number) => gridFrequencyHz[200 + count - 1];
    expect(sameShape(within(gridFrequencyHz[200], points(25)), flat)).toBe(false);
    expect(sameShape(within(gridFrequencyHz[200], points(26)), flat)).toBe(true);
    expect(sameShape({ ...flat, trustedHz: null }, flat)).toBe(false);
  });
});
