import { describe, expect, it } from 'vitest';
import { gridFrequencyHz, valueAt } from '../../../src/model/frequency-grid.ts';
import { boostFrom, keptBoost } from '../../../src/recommend/chain/kept-boost.ts';

/** 3 dB a setting step of 10 below 100 Hz, less above, on the whole grid. */
const boost = (setting: number) =>
  gridFrequencyHz.map((hz) => (setting / 10) * (hz < 100 ? 3 : 3 * (100 / hz)));
const kept = keptBoost(boost, [10, 20, 30]);

describe('the boost that a chain keeps', () => {
  it('goes from 25 to 250 Hz, to a hundredth of a decibel', () => {
    const { frequencyHz, settings } = kept;
    const step = (gridFrequencyHz[1] / gridFrequencyHz[0]) * 1.0001;
    const [low, high] = [frequencyHz[0], frequencyHz[frequencyHz.length - 1]];
    expect(low).toBeGreaterThanOrEqual(24.99);
    expect(low).toBeLessThan(25 * step);
    expect(high).toBeLessThanOrEqual(250.01);
    expect(high).toBeGreaterThan(250 / step);
    for (const { boostDb } of settings) expect(boostDb).toEqual(boostDb.map((db) => Number(db.toFixed(2))));
    expect(settings.map(({ setting, boostDb }) => [setting, boostDb[0]])).toEqual([
      [10, 3],
      [20, 6],
      [30, 9],
    ]);
  });

  it('is read again as it was, the lowest value below and nothing above', () => {
    const read = boostFrom(kept, 20);
    for (const hz of [30, 60, 150, 240]) expect(valueAt(read, hz)).toBeCloseTo(valueAt(boost(20), hz), 2);
    expect(valueAt(read, 12)).toBe(6);
    expect([valueAt(read, 300), valueAt(read, 5000)]).toEqual([0, 0]);
  });

  it('is that of the nearest setting at or below, else of the lowest, and none where none is kept', () => {
    const at = (setting: number) => valueAt(boostFrom(kept, setting), 50);
    expect([5, 10, 19, 20, 29, 40].map(at)).toEqual([3, 3, 3, 6, 6, 9]);
    expect(valueAt(boostFrom({ frequencyHz: [], settings: [] }, 20), 50)).toBe(0);
  });
});
