import { describe, expect, it } from 'vitest';
import { sameShape } from '../../../src/findings/bass/same-shape.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import type { FrequencyResponse } from '../../../src/model/response.ts';

const N = gridFrequencyHz.length;
const FIRST = gridFrequencyHz.findIndex((hz) => hz >= 20);
const LAST = N - 10;

/** Flat, with decibels and radians more at some points of the grid, late by some time; noise is stated, not made. */
function response(of: {
  db?: (i: number) => number;
  radians?: (i: number) => number;
  seconds?: number;
  sigma?: number;
  fromTo?: readonly [number, number] | null;
}): FrequencyResponse {
  const { db = () => 0, radians = () => 0, seconds = 0, sigma = 1e-6, fromTo = [FIRST, LAST] } = of;
  const angle = gridFrequencyHz.map((hz, i) => radians(i) - 2 * Math.PI * hz * seconds);
  const size = gridFrequencyHz.map((_, i) => 10 ** (db(i) / 20));
  return {
    real: size.map((value, i) => value * Math.cos(angle[i])),
    imag: size.map((value, i) => value * Math.sin(angle[i])),
    sigma: new Float64Array(N).fill(sigma),
    trustedHz: fromTo === null ? null : [gridFrequencyHz[fromTo[0]], gridFrequencyHz[fromTo[1]]],
  };
}
const alike = (of: Parameters<typeof response>[0], sigma?: number) =>
  sameShape(
    response(sigma === undefined ? {} : { sigma }),
    response(sigma === undefined ? of : { ...of, sigma }),
  );
const between = (from: number, to: number, value: number) => (i: number) => (i >= from && i < to ? value : 0);
const middle = Math.round((FIRST + LAST) / 2);

describe('two responses of one shape', () => {
  it('differ in level and delay alone.', () => {
    expect(alike({})).toBe(true);
    expect(alike({ db: () => 12, seconds: 0.0123 })).toBe(true);
    expect(alike({ db: () => -12, seconds: -0.0004 })).toBe(true);
  });

  it('stay within 0.1 dB of the level between them, over a quarter of an octave.', () => {
    // Half of the band higher: each half is off the mean of both by half of it.
    expect([alike({ db: between(middle, N, 0.19) }), alike({ db: between(middle, N, 0.21) })]).toEqual([
      true,
      false,
    ]);
    expect([alike({ db: between(middle, N, -0.19) }), alike({ db: between(middle, N, -0.21) })]).toEqual([
      true,
      false,
    ]);
    // 13 points of it count, and half as many count for half.
    expect(alike({ db: between(200, 213, 0.12) })).toBe(false);
    expect(alike({ db: between(200, 206, 0.12) })).toBe(true);
    expect(alike({ db: between(FIRST, FIRST + 13, 0.12) })).toBe(false);
  });

  it('stay within 0.02 radians in phase, once a delay is out.', () => {
    expect([
      alike({ radians: between(200, 240, 0.018) }),
      alike({ radians: between(200, 240, 0.022) }),
    ]).toEqual([true, false]);
    expect([
      alike({ radians: between(200, 240, -0.018) }),
      alike({ radians: between(200, 240, -0.022) }),
    ]).toEqual([true, false]);
    expect(alike({ radians: () => Math.PI })).toBe(false);
  });

  // The mean of 13 points with an error of one in a hundred in each of two is known to 0.01 sqrt(2 / 3), where 13 / 3 points
  // hold one value: five times that are 0.35 dB.
  it('may differ by what noise explains.', () => {
    const bump = (db: number) => alike({ db: between(200, 206, db) }, 0.01);
    expect([bump(0.7), bump(0.82)]).toEqual([true, false]);
    // The noise of either counts.
    const one = response({ sigma: 0.01 });
    const other = response({ db: between(200, 213, 0.2) });
    expect([sameShape(one, other), sameShape(other, one)]).toEqual([true, true]);
  });

  it('are not told where they share less than half an octave.', () => {
    const narrow = (count: number) => alike({ fromTo: [100, 100 + count - 1] });
    expect([narrow(26), narrow(25), alike({ fromTo: null }), alike({ fromTo: [FIRST, FIRST] })]).toEqual([
      true,
      false,
      false,
      false,
    ]);
  });
});
