import { describe, expect, it } from 'vitest';
import { levelProfile } from '../../../src/findings/bass/level-profile.ts';
import { clipOnset } from '../../../src/findings/clipping/clip-onset.ts';
import { findClipping } from '../../../src/findings/clipping/clipping.ts';
import type { TapSeries } from '../../../src/findings/tap-series.ts';
import { isNotMeasurable, type Measured } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { measurementsOf, tapOf } from '../synthetic.ts';

describe('the drive at which a tone clips', () => {
  const rowOf = (distortion: 'as recorded' | 'before the filters', driveSigmaDb: number) => {
    const onset = { driveDbFs: -5, driveSigmaDb, levelDbFs: -9, clipPointLevelDbFs: -9, distortion };
    const take = {
      setting: 30,
      measurement: { evidence: [], voltsPerFullScale: { volts: 10, relativeUncertainty: 0 } },
      tones: [{ toneHz: 997, highestHarmonic: 10, onset }],
    };
    const [{ perSetting }] = findClipping({ tap: tapOf(), takes: [take] } as unknown as TapSeries);
    return perSetting[0];
  };

  it('is uncertain by two standard deviations of the fit, and by what a sound curve is still off by.', () => {
    const plusMinus = (...of: Parameters<typeof rowOf>) => (rowOf(...of).driveDbFs as Measured).plusMinus;
    expect(plusMinus('as recorded', 0.1)).toBeCloseTo(0.2, 5);
    expect(plusMinus('as recorded', 0)).toBeCloseTo(0.0005, 9);
    expect(plusMinus('before the filters', 0)).toBeCloseTo(0.0016, 9);
  });

  it('is a level in volts, as uncertain: 0.2 dB are 2.3 %.', () => {
    const { value, plusMinus } = rowOf('as recorded', 0.1).voltsRms as Measured;
    expect(value).toBeCloseTo(10 * 10 ** (-9 / 20), 9);
    expect(plusMinus / value).toBeCloseTo((0.2 * Math.LN10) / 20, 5);
  });

  it('is not seen without quiet steps: the recorder clipped at every one, or other sounds cover them.', () => {
    const [measurement] = measurementsOf({ radio: { gainDb: () => -10 }, settings: [20] });
    const why = (clippedRuns: number) => {
      const { onset } = clipOnset({
        measurement: { ...measurement, recorder: { ...measurement.recorder, clippedRuns } },
        ladder: { ...measurement.ladders[1], steps: [] },
        profile: levelProfile(measurement.left),
      });
      return isNotMeasurable(onset) ? codeOf(onset.notMeasurable) : null;
    };
    expect([why(3), why(0)]).toEqual([
      'recorder clipped at every step',
      'other sounds cover the quiet steps',
    ]);
  });
});
