import { expect, test } from 'vitest';
import { humOf } from '../../../src/findings/noise/hum.ts';
import { findNoise } from '../../../src/findings/noise/noise.ts';
import { tapSeries } from '../../../src/findings/tap-series.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import type { NoiseMeasurement } from '../../../src/model/measurement.ts';
import { measurementsOf, sessionOf, tapOf } from '../synthetic.ts';

const QUIET: NoiseMeasurement = {
  underQuietToneDbFs: -80,
  underQuietToneADbFs: -83,
  inSilenceDbFs: -80,
  lines: [],
  recorderDbFs: null,
};

function noiseOf(perSetting: readonly Partial<NoiseMeasurement>[]) {
  const settings = perSetting.map((_, i) => 10 + 10 * i);
  const radio = { gainDb: (setting: number) => setting - 40, voltsPerFullScale: 10 };
  const measurements = measurementsOf({ radio, settings }).map((measurement, i) => ({
    ...measurement,
    noise: { ...QUIET, ...perSetting[i] },
  }));
  const [series] = tapSeries({ session: sessionOf([tapOf()]), measurements });
  return findNoise(series)!;
}

test('noise in volts follows from the calibration: -80 dBFS of 10 V is 1 mV', () => {
  const [{ underQuietToneVolts }] = noiseOf([{}]).perSetting;
  expect(underQuietToneVolts).toMatchObject({ value: expect.closeTo(1e-3, 9) });
});

test('a floor of the recorder’s own is not called the radio’s, and a floor above it has it taken off', () => {
  const hidden = noiseOf([{ recorderDbFs: -81 }]);
  expect(hidden.limitedBy).toBe('recorder');
  expect(isNotMeasurable(hidden.perSetting[0].underQuietToneVolts)).toBe(true);
  // -80 dB less -83.01 dB (half the power) leaves half the power: 0.7079 mV.
  const above = noiseOf([{ recorderDbFs: -83.0103 }]);
  expect(above.limitedBy).toBe('radio');
  expect(above.perSetting[0].underQuietToneVolts).toMatchObject({ value: expect.closeTo(0.000707, 6) });
});

test('without a shorted take a floor that rises with the volume is the radio’s, one that stays is anybody’s', () => {
  expect(noiseOf([{}, { underQuietToneDbFs: -70 }]).limitedBy).toBe('radio');
  expect(noiseOf([{}, {}]).limitedBy).toBe('not told');
});

test('a floor far lower in silence is a mute', () => {
  expect(noiseOf([{ inSilenceDbFs: -100 }]).mutesInSilence).toBe(true);
  expect(noiseOf([{ inSilenceDbFs: -81 }]).mutesInSilence).toBe(false);
});

test('a line that shows at several settings is told once, at its strongest', () => {
  const lines = [{ frequencyHz: 50.1, levelDbFs: -90 }];
  expect(
    noiseOf([
      { lines },
      {
        lines: [
          { frequencyHz: 49.9, levelDbFs: -85 },
          { frequencyHz: 150, levelDbFs: -95 },
        ],
      },
    ]),
  ).toMatchObject({
    lines: [
      { frequencyHz: 49.9, levelDbFs: -85 },
      { frequencyHz: 150, levelDbFs: -95 },
    ],
    mainsHz: 50,
  });
});

test.each([
  [[50, 100, 150], 50],
  [[60.1, 119.9, 180], 60],
  [[100.2], 50],
  [[120], 60],
  // Both have 300 and 600 Hz as multiples.
  [[300, 600], null],
  // Alternator ripple at 2000 rpm, ratio 3, 6 pole pairs: 3600 Hz (six pulses a cycle), and its double.
  [[3600, 7200], null],
  [[73, 146], null],
  [[450], null],
  [[], null],
] as const)('lines at %j are multiples of %s', (lines, mainsHz) => {
  expect(humOf(lines)).toBe(mainsHz);
});
