import { expect, test } from 'vitest';
import { findCleanSettings } from '../../../src/findings/clipping/clean-settings.ts';
import { findClipping } from '../../../src/findings/clipping/clipping.ts';
import type { FindingOf } from '../../../src/model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason } from '../../../src/model/measured.ts';
import { codeOf, type Reason } from '../../../src/model/reason.ts';
import { reasonText } from '../../../src/words/reason-text.ts';
import { type Filter, measurementsOf, pass, shelf, withSteps } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';
import { FULL_SCALE_VOLTS, gainDb, railDrive, seriesIn, seriesOf } from './rail-radio.ts';

/** 1 % of harmonics 2 to 10 lies 0.265 dB past the clip point (scipy.optimize on the closed form; ratio 0.969945). */
const ONSET_DB = -20 * Math.log10(0.969945);

const clippingOf = (...of: Parameters<typeof seriesOf>) => findClipping(seriesOf(...of));

/** A limiter above its threshold: it keeps a part of each decibel of drive from the level, and makes no harmonics. */
function limitedRadio(of: {
  seed: number;
  snrDb: number;
  thresholdDriveDbFs: number;
  heldPart: number;
  filters: readonly Filter[];
}) {
  const measurements = withSteps(
    measurementsOf({
      radio: { gainDb, snrDb: of.snrDb, filters: () => of.filters, voltsPerFullScale: FULL_SCALE_VOLTS },
      settings: [20, 30],
      random: seededRandom(of.seed),
    }),
    (step) => {
      const heldDb = of.heldPart * Math.max(0, step.driveDbFs - of.thresholdDriveDbFs);
      // The noise stays, so that it grows against the held tone.
      const growth = 10 ** (heldDb / 20);
      return {
        ...step,
        levelDbFs: step.levelDbFs - heldDb,
        levelSigmaDb: step.levelSigmaDb * growth,
        harmonics: step.harmonics.map((harmonic) => harmonic * growth),
        thd: step.thd * growth,
        thdBeforeFilters: (step.thdBeforeFilters ?? 0) * growth,
        thdNoise: step.thdNoise * growth,
      };
    },
  );
  return findClipping(seriesIn(measurements));
}

function tone(findings: readonly FindingOf<'clipping'>[], toneHz: number): FindingOf<'clipping'> {
  return findings.find((finding) => finding.toneHz === toneHz)!;
}

function value(answer: MeasuredOrReason): number {
  if (isNotMeasurable(answer)) throw new Error(reasonText(answer.notMeasurable));
  return answer.value;
}

test('a rail is found at its drive within 0.1 dB and its volts within 0.05 dB, behind the volume control', () => {
  for (let seed = 1; seed <= 10; seed++) {
    const findings = clippingOf({ clip: { driveDbFs: railDrive, beforeFilters: false } }, { seed });
    for (const toneHz of [55, 997]) {
      const finding = tone(findings, toneHz);
      expect(finding.place).toBe('after the volume control');
      for (const { setting, driveDbFs, voltsRms } of finding.perSetting) {
        const expected = railDrive(setting) + ONSET_DB;
        if (expected > -0.1) {
          expect(isNotMeasurable(driveDbFs)).toBe(true);
          continue;
        }
        expect(Math.abs(value(driveDbFs) - expected)).toBeLessThan(0.05);
        // b1 at the ratio of 1 %: 0.99408 (closed form), over the ratio: 12.6 V peak is 9.131 V RMS of fundamental.
        expect(Math.abs(20 * Math.log10(value(voltsRms) / 9.131))).toBeLessThan(0.05);
      }
    }
  }
});

test('a processor clips at one drive whatever the volume', () => {
  const findings = clippingOf({ clip: { driveDbFs: () => -6, beforeFilters: true } });
  for (const toneHz of [55, 997]) {
    const finding = tone(findings, toneHz);
    expect(finding.place).toBe('before the volume control');
    for (const { driveDbFs } of finding.perSetting) expect(value(driveDbFs)).toBeCloseTo(-6 + ONSET_DB, 1);
  }
});

test.each([
  ['behind a low-pass at 80 Hz', pass('low-pass', 80)],
  ['behind a high-pass at 120 Hz', pass('high-pass', 120, { order: 2, family: 'butterworth' })],
])('clipping before the filters is read right %s', (_, filter) => {
  // 1 % reads 0.07 % behind the low-pass and 48 % behind a steep high-pass (measurement notes).
  for (let seed = 1; seed <= 10; seed++) {
    const finding = tone(
      clippingOf({ filters: () => [filter], clip: { driveDbFs: () => -6, beforeFilters: true } }, { seed }),
      55,
    );
    expect(finding.place).toBe('before the volume control');
    for (const { driveDbFs } of finding.perSetting)
      expect(Math.abs(value(driveDbFs) - (-6 + ONSET_DB))).toBeLessThan(0.1);
  }
});

test('clipping behind the filters is read right where the filters would fake it', () => {
  const finding = tone(
    clippingOf({
      filters: () => [pass('low-pass', 80)],
      clip: { driveDbFs: railDrive, beforeFilters: false },
    }),
    55,
  );
  for (const { setting, driveDbFs } of finding.perSetting) {
    if (railDrive(setting) + ONSET_DB < -0.1)
      expect(value(driveDbFs)).toBeCloseTo(railDrive(setting) + ONSET_DB, 1);
  }
});

test('one clipping setting does not tell before from after the volume control', () => {
  const findings = clippingOf(
    { clip: { driveDbFs: railDrive, beforeFilters: false } },
    { settings: [20, 24, 28, 34] },
  );
  expect(tone(findings, 997).place).toBe('cannot be told');
});

test('a radio that never clips: none seen, up to which drive', () => {
  const finding = tone(clippingOf({}), 997);
  expect(finding.place).toBe('none seen');
  expect(finding.perSetting[0].driveDbFs).toEqual({
    notMeasurable: { code: 'none seen', driveDbFs: 0 },
  });
  expect(tone(clippingOf({}), 6007).perSetting[0].driveDbFs).toEqual({
    notMeasurable: { code: 'none seen', driveDbFs: -3 },
  });
});

test('a clip that noise would hide is not ruled out: none seen up to a lower drive, and the setting is not called clean', () => {
  const clip = { driveDbFs: () => -1.2, beforeFilters: true };
  const filters = () => [pass('low-pass', 550)];
  for (let seed = 1; seed <= 8; seed++) {
    const series = seriesOf({ snrDb: 26, clip, filters }, { seed, settings: [20, 30] });
    const { perSetting } = tone(findClipping(series), 997);
    for (const { driveDbFs } of perSetting) {
      const read = isNotMeasurable(driveDbFs) ? (driveOf(driveDbFs.notMeasurable) ?? -99) : driveDbFs.value;
      expect(read, JSON.stringify(driveDbFs)).toBeLessThan(-1.2 + ONSET_DB + 0.5);
    }
    expect(findCleanSettings(series)!.highestCleanRecorded).toBeNull();
  }
});

test('a recorder that clips first hides the radio’s clipping: no onset is claimed above it', () => {
  const finding = tone(clippingOf({ recorderClipsAbove: -12 }), 997);
  const top = finding.perSetting.find(({ setting }) => setting === 36)!.driveDbFs;
  expect(isNotMeasurable(top) && codeOf(top.notMeasurable)).toBe('none seen, recorder clipped above');
  expect(finding.place).toBe('none seen');
});

test('noise is not distortion: 100 radios that never clip, 20 to 70 dB of SNR, without one false onset', () => {
  for (let seed = 1; seed <= 100; seed++) {
    const random = seededRandom(seed);
    const filters = [[], [pass('low-pass', 80)], [pass('high-pass', 150)], [pass('high-pass', 3000)]][
      seed % 4
    ];
    for (const finding of clippingOf(
      { snrDb: 20 + 50 * random(), filters: () => filters },
      { seed, settings: [20, 30] },
    )) {
      expect(finding.place, `seed ${seed} at ${finding.toneHz} Hz`).toBe('none seen');
    }
  }
});

test('a limiter in noise is never taken for a clip: 60 radios, 20 to 40 dB of SNR, soft and hard, with bass shelves', () => {
  for (let seed = 1; seed <= 60; seed++) {
    const random = seededRandom(seed);
    const findings = limitedRadio({
      seed,
      snrDb: 20 + 20 * random(),
      thresholdDriveDbFs: -18 + 10 * random(),
      heldPart: [0.5, 0.7, 1][seed % 3],
      filters: [[], [shelf(78, -6.8)], [pass('low-pass', 80)]][seed % 3],
    });
    const { perSetting } = tone(findings, 55);
    for (const { driveDbFs } of perSetting) expect(driveDbFs, `seed ${seed}`).toHaveProperty('notMeasurable');
  }
});

test('where noise and a low-pass hide the harmonics a held level is called neither, and its setting not clean', () => {
  const series = seriesOf(
    {
      snrDb: 35,
      filters: () => [pass('low-pass', 60, { order: 8 })],
      clip: { driveDbFs: () => -4, beforeFilters: true },
    },
    { settings: [30] },
  );
  const [{ driveDbFs }] = tone(findClipping(series), 55).perSetting;
  expect(isNotMeasurable(driveDbFs) && codeOf(driveDbFs.notMeasurable)).toBe('level held by clip or limiter');
  expect(findCleanSettings(series)!.highestCleanRecorded).toBeNull();
});

test('at 40 dB of SNR the drive is right within 0.2 dB and its uncertainty covers the truth', () => {
  let [covered, all] = [0, 0];
  for (let seed = 1; seed <= 20; seed++) {
    const finding = tone(
      clippingOf(
        { snrDb: 40, clip: { driveDbFs: railDrive, beforeFilters: false } },
        { seed, settings: [28, 34, 36] },
      ),
      997,
    );
    for (const { setting, driveDbFs } of finding.perSetting) {
      if (isNotMeasurable(driveDbFs)) continue;
      const error = Math.abs(driveDbFs.value - railDrive(setting) - ONSET_DB);
      expect(error).toBeLessThan(0.2);
      all++;
      if (error <= driveDbFs.plusMinus) covered++;
    }
  }
  expect(all).toBe(40);
  expect(covered).toBeGreaterThanOrEqual(35);
});

test('a soft stage that no hard clip explains is read between its steps', () => {
  // Third-order curve y = x - a x^3: h3 / h1 = (a/4) x^2 / (1 - 3a/4 x^2) (closed form), 1 % where x^2 = 0.04 / (a (1 + 0.03)).
  const third = 0.2;
  const measurements = measurementsOf({ radio: { gainDb, snrDb: 70 }, settings: [30] }).map(
    (measurement) => ({
      ...measurement,
      ladders: measurement.ladders.map((ladder) => ({
        ...ladder,
        steps: ladder.steps.map((step) => {
          const square = 10 ** (step.driveDbFs / 10);
          const h3 = ((third / 4) * square) / (1 - 0.75 * third * square);
          const harmonics = step.harmonics.map((_, j) => (j === 1 ? h3 : 0));
          return {
            ...step,
            levelDbFs: step.levelDbFs + 20 * Math.log10(1 - 0.75 * third * square),
            harmonics,
            thd: h3,
            thdBeforeFilters: h3,
          };
        }),
      })),
    }),
  );
  const [row] = tone(findClipping(seriesIn(measurements)), 997).perSetting;
  const expected = 10 * Math.log10(0.04 / (third * 1.03));
  expect(Math.abs(value(row.driveDbFs) - expected)).toBeLessThan(0.25);
});

test('scaling the recording moves levels and no drive', () => {
  const clip = { driveDbFs: railDrive, beforeFilters: false };
  const once = tone(clippingOf({ clip }), 997);
  const louder = tone(
    clippingOf({
      clip,
      gainDb: (setting) => gainDb(setting) + 6,
      voltsPerFullScale: FULL_SCALE_VOLTS / 10 ** 0.3,
    }),
    997,
  );
  once.perSetting.forEach((row, i) => {
    if (isNotMeasurable(row.driveDbFs)) return;
    expect(value(louder.perSetting[i].driveDbFs)).toBeCloseTo(row.driveDbFs.value, 6);
    expect(value(louder.perSetting[i].voltsRms)).toBeCloseTo(value(row.voltsRms), 6);
  });
});

function driveOf(reason: Reason): number | null {
  return typeof reason !== 'string' && 'driveDbFs' in reason ? reason.driveDbFs : null;
}
