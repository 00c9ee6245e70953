import { expect, test } from 'vitest';
import { findBassLimiter } from '../../../src/findings/bass/bass-limiter.ts';
import { tapSeries } from '../../../src/findings/tap-series.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { measurementsOf, pass, type Radio, sessionOf, tapOf, withSteps } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';

const SETTINGS = [10, 16, 22, 28];

function limiterOf(radio: Partial<Radio>, { settings = SETTINGS, seed = 1 } = {}) {
  const measurements = measurementsOf({
    radio: { gainDb: (setting) => setting - 40, snrDb: 60, ...radio },
    settings,
    random: seededRandom(seed),
  });
  const [series] = tapSeries({ session: sessionOf([tapOf()]), measurements });
  return findBassLimiter(series);
}

test('a limiter before the volume control holds at one drive', () => {
  const finding = limiterOf({ limiterDriveDbFs: () => -20 })!;
  expect(finding.place).toBe('before the volume control');
  for (const { thresholdDriveDbFs } of finding.perSetting) {
    expect(thresholdDriveDbFs).toMatchObject({ value: expect.closeTo(-20, 0) });
  }
});

test('a limiter after the volume control holds at one level: its drive falls as the volume rises', () => {
  const finding = limiterOf({ limiterDriveDbFs: (setting) => 4 - setting, voltsPerFullScale: 20 })!;
  expect(finding.place).toBe('after the volume control');
  const levels = finding.perSetting.map(({ levelVoltsRms }) =>
    isNotMeasurable(levelVoltsRms) ? Number.NaN : levelVoltsRms.value,
  );
  // 4 dB - 40 dB re 20 V: 0.317 V RMS.
  for (const level of levels) expect(Math.abs(20 * Math.log10(level / 0.317))).toBeLessThan(0.3);
});

test('a limiter of one band lets the rest through, and its threshold is still where it begins to act', () => {
  // A band of second-order Butterworth turned down to its threshold: |1 + (g - 1) L(f)|, L = 1 / (1 - w^2 + j sqrt(2) w), w = 55 Hz
  // over the corner, g = threshold / level of the band (closed form). It loses 1.7, 2.3 and 3.6 dB at most with
  // corners of 88, 96 and 115 Hz, about 10 dB over its threshold, and less beyond.
  for (const [cornerHz, snrDb] of [
    [88, 67],
    [96, 60],
    [96, 45],
    [115, 40],
  ]) {
    const w = 55 / cornerHz;
    const [a, b] = [1 - w * w, Math.SQRT2 * w];
    const square = a * a + b * b;
    const thresholdDriveDbFs = -12.2;
    const measurements = withSteps(
      measurementsOf({
        radio: { gainDb: (setting) => setting - 40, snrDb },
        settings: SETTINGS,
      }),
      (step, ladder) => {
        const less = Math.min(1, 10 ** ((thresholdDriveDbFs - step.driveDbFs) / 20)) - 1;
        const kept = Math.hypot(1 + (less * a) / square, (less * b) / square);
        return ladder.toneHz === 55 ? { ...step, levelDbFs: step.levelDbFs + 20 * Math.log10(kept) } : step;
      },
    );
    const [series] = tapSeries({ session: sessionOf([tapOf()]), measurements });
    const { perSetting, place } = findBassLimiter(series)!;
    expect(place).toBe('before the volume control');
    for (const { thresholdDriveDbFs: read } of perSetting) {
      expect(read).toHaveProperty('value');
      if (!isNotMeasurable(read)) {
        expect(Math.abs(read.value - thresholdDriveDbFs), `${cornerHz} Hz at ${snrDb} dB`).toBeLessThan(0.6);
      }
    }
  }
});

test('behind a low-pass so steep that no harmonic is left, levels tell a limiter, and a clip is not taken for one', () => {
  const steep = [pass('low-pass', 61, { order: 8 })];
  const found = (radio: Partial<Radio>) => {
    const measurements = withSteps(
      measurementsOf({
        radio: { gainDb: (setting) => setting - 40, snrDb: 56, filters: () => steep, ...radio },
        settings: SETTINGS,
        random: seededRandom(3),
      }),
      (step) => ({
        ...step,
        harmonics: step.harmonics.map(() => 0),
        thd: 0,
        thdBeforeFilters: null,
      }),
    );
    const [series] = tapSeries({ session: sessionOf([tapOf()]), measurements });
    return findBassLimiter(series);
  };
  expect(found({ limiterDriveDbFs: () => -9 })).toMatchObject({ place: 'before the volume control' });
  expect(found({ clip: { driveDbFs: () => -9, beforeFilters: true } })).toBeNull();
  expect(found({})).toBeNull();
});

test('one active setting does not tell where the limiter sits', () => {
  expect(
    limiterOf(
      { limiterDriveDbFs: (setting) => 20 - setting, voltsPerFullScale: 20 },
      { settings: [10, 14, 28] },
    )!.place,
  ).toBe('cannot be told');
});

test('a hard clip’s compression is no limiter, before or behind filters', () => {
  for (const filters of [
    [],
    [pass('low-pass', 80)],
    [pass('high-pass', 120, { order: 2, family: 'butterworth' as const })],
  ]) {
    for (const beforeFilters of [true, false]) {
      expect(limiterOf({ filters: () => filters, clip: { driveDbFs: () => -8, beforeFilters } })).toBeNull();
    }
  }
});

test('nor does noise make it one: 40 clips behind a gentle high-pass, 20 to 34 dB of SNR', () => {
  const filters = [pass('high-pass', 490, { order: 1, family: 'butterworth' as const })];
  for (let seed = 1; seed <= 40; seed++) {
    const radio = {
      filters: () => filters,
      clip: { driveDbFs: () => -8.9, beforeFilters: true },
      snrDb: 20 + 2 * (seed % 8),
    };
    expect(limiterOf(radio, { seed })).toBeNull();
  }
});

test('a limiter over the whole band, or a recorder’s automatic gain, is no bass limiter', () => {
  const measurements = withSteps(
    measurementsOf({
      radio: { gainDb: (setting) => setting - 40, snrDb: 60 },
      settings: SETTINGS,
    }),
    (step) => ({
      ...step,
      levelDbFs: step.levelDbFs - Math.max(0, step.driveDbFs + 20),
    }),
  );
  const [series] = tapSeries({ session: sessionOf([tapOf()]), measurements });
  expect(findBassLimiter(series)).toBeNull();
});

test('100 radios without a limiter, 20 to 70 dB of SNR, show none', () => {
  for (let seed = 1; seed <= 100; seed++) {
    const snrDb = 20 + 50 * seededRandom(seed)();
    expect(
      limiterOf(
        { snrDb, filters: () => (seed % 2 === 0 ? [pass('high-pass', 100)] : []) },
        { seed, settings: [10, 28] },
      ),
    ).toBeNull();
  }
});
