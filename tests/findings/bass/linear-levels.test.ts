import { describe, expect, it } from 'vitest';
import { levelProfile } from '../../../src/findings/bass/level-profile.ts';
import { linearLevels } from '../../../src/findings/bass/linear-levels.ts';
import { tapSeries } from '../../../src/findings/tap-series.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import { codeOf } from '../../../src/model/reason.ts';
import type { FrequencyResponse } from '../../../src/model/response.ts';
import { measurementsOf, type Radio, sessionOf, tapOf, withSteps } from '../synthetic.ts';

const RADIO: Radio = { gainDb: () => -10, snrDb: 90 };
const take = (radio: Partial<Radio> = {}): TapMeasurement =>
  measurementsOf({ radio: { ...RADIO, ...radio }, settings: [20] })[0];
const linearOf = (measurement: TapMeasurement) => {
  const { linear } = tapSeries({ session: sessionOf([tapOf()]), measurements: [measurement] })[0].takes[0];
  return isNotMeasurable(linear) ? codeOf(linear.notMeasurable) : linear;
};
const louder = (response: FrequencyResponse, db: number, belowHz = 1e6): FrequencyResponse => {
  const factor = gridFrequencyHz.map((hz) => (hz < belowHz ? 10 ** (db / 20) : 1));
  return {
    ...response,
    real: response.real.map((value, i) => value * factor[i]),
    imag: response.imag.map((value, i) => value * factor[i]),
  };
};

describe('levels that nothing has bent', () => {
  it('are the main sweep’s where both drives and the tones agree, within what noise allows.', () => {
    const linear = linearOf(take());
    expect(linear).toMatchObject({ drive: 'main sweep', bassLimitedDb: 0 });
    expect(linear).toHaveProperty('limitedByAtMostDb', expect.closeTo(0, 1));
    const noisy = linearOf(take({ snrDb: 30 })) as { limitedByAtMostDb: number };
    expect(noisy.limitedByAtMostDb).toBeGreaterThan(0.01);
    const quick = linearOf(take({ responseTrackOnly: true }));
    expect(quick).toMatchObject({ drive: 'main sweep', limitedByAtMostDb: Number.POSITIVE_INFINITY });
  });

  it('are the low sweep’s where a limiter took bass from the main one, and say how much.', () => {
    // The main sweep plays at -18 dBFS: 6 dB above the threshold.
    const limited = linearOf(take({ limiterDriveDbFs: () => -24 }));
    expect(limited).toMatchObject({
      drive: 'low-drive sweep',
      bassLimitedDb: expect.closeTo(6, 1),
      limitedByAtMostDb: 0,
    });
    const by = (db: number) => {
      const measurement = take({ responseTrackOnly: true });
      return linearOf({
        ...measurement,
        left: louder(measurement.left, -db, 120),
        bothLowDrive: measurement.left,
      });
    };
    expect([by(0.12), by(0.08)]).toMatchObject([{ drive: 'low-drive sweep' }, { drive: 'main sweep' }]);
  });

  it('are told of a limiter by the bass ladder alone, at the main sweep’s drive against the quiet steps.', () => {
    const measurement = take();
    const held = (db: number) =>
      linearOf(
        withSteps([measurement], (step, { toneHz }) =>
          toneHz < 100 && step.driveDbFs > -26 && step.driveDbFs < -13
            ? { ...step, levelDbFs: step.levelDbFs - db }
            : step,
        )[0],
      );
    expect([held(0.2), held(0.05)]).toMatchObject([
      { drive: 'low-drive sweep', bassLimitedDb: expect.closeTo(0.2, 1) },
      { drive: 'main sweep' },
    ]);
  });

  it('are the low sweep’s where the main one clips, and none where that clips too.', () => {
    const clips = (drive: number) =>
      linearOf(take({ clip: { driveDbFs: () => drive, beforeFilters: false } }));
    // 1 % lies 0.265 dB past the clip.
    expect(clips(-18.1)).toMatchObject({ drive: 'main sweep' });
    expect(clips(-18.5)).toMatchObject({ drive: 'low-drive sweep', bassLimitedDb: 0 });
    expect(clips(-37)).toBe('clips at the low-drive sweep');
  });

  it('are none where the sweep is spoilt and there is no other, or where the gain changed besides.', () => {
    const measurement = take();
    const off = (db: number, part: Partial<TapMeasurement> = {}) =>
      linearOf({ ...measurement, left: louder(measurement.left, db), ...part });
    expect(off(0.4)).toMatchObject({ drive: 'low-drive sweep' });
    expect(off(0.2)).toMatchObject({ drive: 'main sweep' });
    expect(off(0.4, { bothLowDrive: null })).toBe('sweep spoilt and none at a lower drive');
    expect(off(0.4, { bothLowDrive: louder(measurement.bothLowDrive!, -0.4) })).toBe(
      'gain changed during the take',
    );
  });

  it('are the low sweep’s where the recorder clipped and the main sweep comes within 0.3 dB of its limit.', () => {
    const measurement = take({ gainDb: () => 17.6 });
    const recorder = { ...measurement.recorder, clippedRuns: 3, peakDbFs: 0 };
    expect(linearOf(measurement)).toMatchObject({ drive: 'main sweep' });
    expect(linearOf({ ...measurement, recorder, ladders: [] })).toMatchObject({ drive: 'main sweep' });
    const near = take({ gainDb: () => 17.8 });
    expect(linearOf({ ...near, recorder, ladders: [] })).toMatchObject({ drive: 'low-drive sweep' });
  });

  it('heard in the air are not held against tones: a cabin ripples too finely.', () => {
    const measurement = take();
    const heardInAir = (value: boolean) =>
      linearLevels({
        measurement: {
          ...measurement,
          bothLowDrive: louder(measurement.bothLowDrive!, 0.5),
          left: louder(measurement.left, 0.5),
        },
        carries: 'left',
        main: levelProfile(louder(measurement.left, 0.5)),
        tones: [],
        heardInAir: value,
      });
    expect(heardInAir(true)).toMatchObject({ drive: 'main sweep' });
    expect(heardInAir(false)).toHaveProperty('notMeasurable');
  });
});
