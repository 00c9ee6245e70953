import { describe, expect, it } from 'vitest';
import { padFigures } from '../../src/tones/pad.ts';

describe('padFigures', () => {
  // Closed form, and row 3 by ngspice 39 as well: -20.9380 dB, 0.08976338 V per volt.
  it.each([
    [10, 0, 1000, 100, Number.POSITIVE_INFINITY, 0.909091, -20.8279, 1100, 0.0826446, 0.00826446],
    [10, 0, 1000, 100, 10_000, 0.900901, -20.9065, 1099.01, 0.0827936, 0.00811622],
    [10, 4, 1000, 100, 10_000, 0.897634, -20.938, 1099.01, 0.0821942, 0.00805747],
    [20, 0.1, 470, 56, 10_000, 2.118273, -19.501, 525.688, 0.680043, 0.0801265],
  ])(
    'gives %d V behind %d ohm through %d and %d ohm into %d ohm as a circuit simulator does',
    (sourceVolts, sourceOhms, seriesOhms, shuntOhms, recorderOhms, volts, gainDb, inputOhms, seriesWatts, shuntWatts) => {
      const figures = padFigures({ seriesOhms, shuntOhms }, { sourceVolts, sourceOhms, recorderOhms });
      expect(relative(figures.recorderVolts, volts)).toBeLessThan(1e-4);
      expect(figures.gainDb).toBeCloseTo(gainDb, 3);
      expect(relative(figures.inputOhms, inputOhms)).toBeLessThan(1e-4);
      expect(relative(figures.seriesWatts, seriesWatts)).toBeLessThan(1e-4);
      expect(relative(figures.shuntWatts, shuntWatts)).toBeLessThan(1e-4);
    },
  );
});

function relative(value: number, expected: number): number {
  return Math.abs(value / expected - 1);
}
