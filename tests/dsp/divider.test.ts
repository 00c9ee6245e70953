import { describe, expect, it } from 'vitest';
import { dividerAt } from '../../src/dsp/divider.ts';
import { E24, e24Between } from '../../src/dsp/e24.ts';

// Worked by hand from Ohm's law; ngspice gives -20.9380 dB for the third row as well.
describe('a loaded divider', () => {
  it.each([
    [10, 0, 1000, 100, Number.POSITIVE_INFINITY, 0.909091, -20.8279, 1100, 0.0826446, 0.00826446, 90.9091],
    [10, 0, 1000, 100, 10_000, 0.900901, -20.9065, 1099.01, 0.0827936, 0.00811622, 90.9091],
    [10, 4, 1000, 100, 10_000, 0.897634, -20.938, 1099.01, 0.0821942, 0.00805747, 90.942],
    [20, 0.1, 470, 56, 10_000, 2.118273, -19.501, 525.688, 0.680043, 0.0801265, 50.0392],
  ])(
    'at %d V from %d ohm through %d and %d ohm into %d ohm',
    (volts, source, series, shunt, load, out, db, zin, pSeries, pShunt, zout) => {
      const at = dividerAt(
        { sourceOhms: source, seriesOhms: series, shuntOhms: shunt, loadOhms: load },
        volts,
      );
      const near = (found: number, expected: number) =>
        expect(Math.abs(found / expected - 1)).toBeLessThan(1e-4);
      near(at.outputVolts, out);
      near(at.lossDb, db);
      near(at.inputOhms, zin);
      near(at.seriesWatts, pSeries);
      near(at.shuntWatts, pShunt);
      near(at.outputOhms, zout);
    },
  );
});

// IEC 60063: the series as printed; round(10^(i/24)) gives eight other values.
describe('E24', () => {
  it('is the printed series, not the rounded powers', () => {
    const rounded = E24.map((_, i) => Math.round(10 * 10 ** (i / 24)));
    expect(E24.filter((value, i) => value !== rounded[i])).toEqual([27, 30, 33, 36, 39, 43, 47, 82]);
  });

  it('lists whole decades and nothing outside', () => {
    expect(e24Between({ lowestOhms: 82, highestOhms: 120 })).toEqual([82, 91, 100, 110, 120]);
    expect(e24Between({ lowestOhms: 1, highestOhms: 1.2 })).toEqual([1, 1.1, 1.2]);
    expect(e24Between({ lowestOhms: 10, highestOhms: 99_999 })).toHaveLength(96);
  });
});
