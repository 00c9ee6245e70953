import { describe, expect, it } from 'vitest';
import { bandsDb } from '../../../src/dsp/eq-band.ts';
import { gridFrequencyHz, valueAt } from '../../../src/model/frequency-grid.ts';
import { fitLowShelf } from '../../../src/recommend/bass/fit-low-shelf.ts';
import { infrasonicFilter } from '../../../src/recommend/filters/infrasonic-filter.ts';
import { secondFilterPrice } from '../../../src/recommend/filters/second-filter-price.ts';
import { shelfAgainst } from '../../../src/recommend/filters/shelf-against.ts';

const Q = Math.SQRT1_2;
const minus = (db: Float64Array) => db.map((value) => -value);
const octavesApart = (one: number, other: number) => Math.abs(Math.log2(one / other));

describe('bands of an equaliser', () => {
  // Audio EQ Cookbook: a peak has its gain at its centre, a shelf half of it at its corner and all of it far beyond.
  it('have their gain where it belongs, and add in decibels.', () => {
    const peak = { shape: 'peak', frequencyHz: 1000, gainDb: 6, q: 2 } as const;
    const low = { shape: 'low shelf', frequencyHz: 100, gainDb: -8, q: Q } as const;
    const high = { shape: 'high shelf', frequencyHz: 5000, gainDb: 4, q: Q } as const;
    const at = (bands: Parameters<typeof bandsDb>[0], hz: number) => valueAt(bandsDb(bands), hz);
    expect(at([peak], 1000)).toBeCloseTo(6, 2);
    expect([at([low], 100), at([low], 10), at([low], 10_000) + 1].map((db) => db.toFixed(1))).toEqual([
      '-4.0',
      '-8.0',
      '1.0',
    ]);
    expect([at([high], 5000), at([high], 50)].map((db) => db.toFixed(1))).toEqual(['2.0', '0.0']);
    for (const hz of [50, 700, 8000])
      expect(at([peak, low, high], hz)).toBeCloseTo(at([peak], hz) + at([low], hz) + at([high], hz), 9);
    expect(bandsDb([peak], Float64Array.of(1000))[0]).toBeCloseTo(6, 9);
  });
});

describe('the low shelf that comes nearest to what is missing', () => {
  const shelf = (frequencyHz: number, gainDb: number) =>
    bandsDb([{ shape: 'low shelf', frequencyHz, gainDb, q: Q }]);

  it('is the shelf itself, from 40 to 160 Hz.', () => {
    for (const [hz, db] of [
      [40, 6],
      [80, 10],
      [160, 4],
    ]) {
      const found = fitLowShelf(shelf(hz, db))!;
      expect(octavesApart(found.frequencyHz, hz), `${hz} Hz`).toBeLessThan(1 / 12);
      expect(Math.abs(found.gainDb - db), `${db} dB`).toBeLessThan(0.6);
    }
  });

  it('is none for another shape: a hump misses by more than 1 dB.', () => {
    const hump = bandsDb([{ shape: 'peak', frequencyHz: 60, gainDb: 12, q: 3 }]);
    expect(fitLowShelf(hump)).toBeNull();
    const small = bandsDb([{ shape: 'peak', frequencyHz: 60, gainDb: 2, q: 3 }]);
    expect(fitLowShelf(small)).not.toBeNull();
  });
});

describe('a shelf against a slope', () => {
  const against = (
    levelDb: Float64Array,
    of: { bandHz?: [number, number]; mostBoostDb?: number; worthDb?: number } = {},
  ) => shelfAgainst(levelDb, { bandHz: [30, 15_000], mostBoostDb: 6, worthDb: 3, ...of });
  const tilted = (shape: 'low shelf' | 'high shelf', frequencyHz: number, gainDb: number) =>
    bandsDb([{ shape, frequencyHz, gainDb, q: Q }]);

  it('is the same shelf the other way round.', () => {
    expect(against(tilted('low shelf', 160, 8))).toEqual({
      shape: 'low shelf',
      frequencyHz: 160,
      gainDb: -8,
      q: Q,
    });
    expect(against(tilted('high shelf', 5000, -4))).toEqual({
      shape: 'high shelf',
      frequencyHz: 5000,
      gainDb: 4,
      q: Q,
    });
    // A level of the whole is no slope.
    expect(against(tilted('low shelf', 160, 8).map((db) => db - 30))).toMatchObject({ gainDb: -8 });
  });

  it('boosts no further than it may, and cuts no further than 12 dB.', () => {
    expect(against(tilted('low shelf', 160, -9))).toMatchObject({ shape: 'low shelf', gainDb: 6 });
    expect(against(tilted('low shelf', 160, -9), { mostBoostDb: 4 })?.gainDb).toBe(4);
    expect(against(tilted('low shelf', 160, 15))?.gainDb).toBe(-12);
  });

  it('is none where it would be small, helps little, or has no band to act in.', () => {
    expect(against(tilted('low shelf', 160, 2))).toBeNull();
    expect(against(new Float64Array(gridFrequencyHz.length))).toBeNull();
    expect(against(tilted('low shelf', 160, 8), { worthDb: 9 })?.gainDb).toBe(-9);
    expect(against(tilted('low shelf', 160, 8), { bandHz: [100, 200] })).toBeNull();
    // A corner lies within the band.
    const inside = against(tilted('low shelf', 160, 8), { bandHz: [200, 15_000] });
    expect(inside === null || inside.frequencyHz > 200).toBe(true);
  });

  it('evens out a step that no shelf undoes, as well as the nearest can.', () => {
    const step = gridFrequencyHz.map((hz) => (hz < 200 ? 6 : 0));
    const found = against(step)!;
    const rms = (db: Float64Array) => {
      const inside = [...db].filter((_, i) => gridFrequencyHz[i] >= 30 && gridFrequencyHz[i] <= 15_000);
      const mean = inside.reduce((sum, one) => sum + one, 0) / inside.length;
      return Math.sqrt(inside.reduce((sum, one) => sum + (one - mean) ** 2, 0) / inside.length);
    };
    const shelf = bandsDb([found]);
    expect(rms(step.map((db, i) => db + shelf[i]))).toBeLessThan(rms(step) / 2);
    expect(rms(step.map((db, i) => db + minus(shelf)[i]))).toBeGreaterThan(rms(step));
  });
});

describe('filters of an amplifier', () => {
  it('against cone travel lie where the travel ends, but no higher than 35 Hz.', () => {
    expect(infrasonicFilter(undefined, 28)).toMatchObject({
      output: 'subwoofer',
      type: 'high-pass',
      state: 'set',
      cornerHz: 28,
      slopeDbPerOctave: 24,
      shortfall: null,
      reasons: [{ code: 'cones run out of travel', belowHz: 28 }],
    });
    expect(infrasonicFilter(undefined, 50)).toMatchObject({
      cornerHz: 35,
      reasons: [{ belowHz: 50 }, { code: 'cones play, not at full output', fromHz: 35, toHz: 50 }],
    });
  });

  // Butterworth of order n an octave below a high-pass: 10 log10(1 + 2^2n); at its corner 3.01 dB, Linkwitz-Riley 6.02 dB.
  it('behind the radio’s own cost what both take together.', () => {
    const price = (slopeDbPerOctave: number, type: 'high-pass' | 'low-pass' = 'high-pass') =>
      secondFilterPrice({
        radio: { cornerHz: 80, slopeDbPerOctave: 24, filter: { family: 'linkwitz-riley', order: 4 } },
        type,
        second: { cornerHz: 160, slopeDbPerOctave },
        atHz: 80,
      })!;
    expect(price(12)).toMatchObject({
      atHz: 80,
      secondHz: 160,
      secondSlopeDbPerOctave: 12,
      aloneDb: expect.closeTo(-6.0206, 4),
      withSecondDb: expect.closeTo(-6.0206 - 10 * Math.log10(17), 4),
    });
    expect(price(24).withSecondDb).toBeCloseTo(-6.0206 - 10 * Math.log10(257), 4);
    expect(price(96).withSecondDb).toBeCloseTo(price(48).withSecondDb, 9);
    expect(price(1).withSecondDb).toBeCloseTo(-6.0206 - 10 * Math.log10(5), 4);
    // A low-pass an octave above takes (1/2)^2n.
    expect(price(12, 'low-pass').withSecondDb).toBeCloseTo(-6.0206 - 10 * Math.log10(1 + 1 / 16), 4);
    const unknown = { cornerHz: 80, slopeDbPerOctave: null, filter: null };
    expect(
      secondFilterPrice({
        radio: unknown,
        type: 'high-pass',
        second: { cornerHz: 80, slopeDbPerOctave: 24 },
        atHz: 80,
      }),
    ).toBeNull();
  });
});
