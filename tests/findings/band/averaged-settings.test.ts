import { describe, expect, it } from 'vitest';
import { averagedTap } from '../../../src/findings/band/averaged-tap.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import type { FrequencyResponse } from '../../../src/model/response.ts';

const N = gridFrequencyHz.length;
interface Take {
  readonly gain?: number;
  readonly seconds?: number;
  readonly sigma?: number;
  /** Decibels below 500 Hz: another shape. */
  readonly bassDb?: number;
  readonly silent?: boolean;
}
const responseOf = ({
  gain = 1,
  seconds = 0,
  sigma = 1e-3,
  bassDb = 0,
  silent = false,
}: Take): FrequencyResponse => {
  const size = gridFrequencyHz.map((hz) => gain * (hz < 500 ? 10 ** (bassDb / 20) : 1));
  return {
    real: size.map((value, i) => value * Math.cos(2 * Math.PI * gridFrequencyHz[i] * seconds)),
    imag: size.map((value, i) => -value * Math.sin(2 * Math.PI * gridFrequencyHz[i] * seconds)),
    sigma: new Float64Array(N).fill(sigma),
    trustedHz: silent ? null : [20, 19_000],
  };
};
const averaged = (...takes: Take[]) => {
  const measurements = takes.map((_, i) => ({ setting: 10 + i }) as TapMeasurement);
  return averagedTap(measurements, ({ setting }) => responseOf(takes[setting - 10]));
};
const settings = (...takes: Take[]) =>
  averaged(...takes)?.takes.map(({ measurement }) => measurement.setting);

describe('the average of settings that agree in shape', () => {
  it('lies where the middle one does, at its level, whatever gains and delays the others have.', () => {
    const found = averaged({ gain: 0.5, seconds: 0.001 }, {}, { gain: 2, seconds: -0.0004 })!;
    for (const i of [100, 300, 450]) {
      expect(found.response.real[i]).toBeCloseTo(1, 5);
      expect(found.response.imag[i]).toBeCloseTo(0, 5);
    }
    expect(found.takes.map(({ shiftSeconds }) => shiftSeconds)).toEqual([
      expect.closeTo(0.001, 9),
      0,
      expect.closeTo(-0.0004, 9),
    ]);
    expect(found.takes.map(({ shiftSigmaSeconds }) => shiftSigmaSeconds > 0)).toEqual([true, false, true]);
  });

  it('is weighted by noise against level: 1 in 0.001 and 2 in 0.001 are as sure as the root of five times one.', () => {
    expect(averaged({}, { gain: 2 })!.response.sigma[300]).toBeCloseTo(1e-3 / Math.sqrt(5), 9);
    expect(averaged({}, { sigma: 2e-3 })!.response.sigma[300]).toBeCloseTo(1e-3 / Math.sqrt(1.25), 9);
    // Half a decibel that noise hides: the surer one of the two has sixteen parts of seventeen.
    const sure = { sigma: 0.01 };
    const unsure = { sigma: 0.04, bassDb: 0.5 };
    const [low] = averaged(sure, unsure)!.response.real;
    const gain = (hz: number) => (hz < 500 ? 10 ** (0.5 / 20) : 1);
    const mean = gridFrequencyHz.reduce((sum, hz) => sum + gain(hz), 0) / N;
    expect(low).toBeCloseTo((16 + gain(20) / mean) / 17, 3);
  });

  it('is of the largest group, of equal ones of that around the middle; what carries nothing is in none.', () => {
    const other = { bassDb: -6 };
    expect(settings({}, {}, other)).toEqual([10, 11]);
    expect(settings({}, other, other)).toEqual([11, 12]);
    expect(settings({}, other, { bassDb: -12 })).toEqual([11]);
    expect(settings(other, {}, { silent: true }, {})).toEqual([11, 13]);
    expect(averaged({ silent: true })).toBeNull();
    expect(averaged()).toBeNull();
  });
});
