import { expect, test } from 'vitest';
import { findRail, voltsWithheld } from '../../../src/findings/clipping/rail.ts';
import { findAll } from '../../../src/findings/find-all.ts';
import { tapSeries } from '../../../src/findings/tap-series.ts';
import { findingsOf } from '../../../src/model/finding.ts';
import { isNotMeasurable, notMeasurable } from '../../../src/model/measured.ts';
import { asWritten, codeOf } from '../../../src/model/reason.ts';
import { measurementsOf, type Radio, sessionOf, tapOf } from '../synthetic.ts';

const FULL_SCALE_VOLTS = 20;
/** As calibrated, the output clips at this many volts peak. */
function clippingAt(voltsPeak: number, part: Partial<Radio> = {}): Radio {
  const gainDb = (setting: number) => setting - 40;
  const railDbFs = 20 * Math.log10(voltsPeak / Math.SQRT2 / FULL_SCALE_VOLTS);
  return {
    gainDb,
    snrDb: 60,
    voltsPerFullScale: FULL_SCALE_VOLTS,
    clip: { driveDbFs: (setting) => railDbFs - gainDb(setting), beforeFilters: false },
    ...part,
  };
}

function railOf(
  radio: Radio,
  {
    supplyVolts = 14.4 as number | null,
    connection = 'pair' as 'pair' | 'one leg',
    settings = [20, 28, 36, 40],
  } = {},
) {
  const session = sessionOf([tapOf({ connection })], supplyVolts);
  const [series] = tapSeries({ session, measurements: measurementsOf({ radio, settings }) });
  return findRail({ series, session });
}

test('12.6 V peak on 14.4 V is as the supply allows: a bridged stage takes 1 to 2 V', () => {
  const rail = railOf(clippingAt(12.6))!;
  expect(rail).toMatchObject({
    verdict: 'as the supply allows',
    question: null,
    expectedVoltsPeak: [12.4, 13.4],
  });
  expect(Math.abs(rail.clipVoltsPeak.value - 12.6)).toBeLessThan(0.05);
  expect(voltsWithheld([rail])).toBeNull();
});

test('6.3 V peak on 14.4 V asks whether one leg was measured, and volts are withheld everywhere', () => {
  const rail = railOf(clippingAt(6.3))!;
  expect(rail.verdict).toBe('half of it');
  expect(codeOf(rail.question)).toBe('one leg instead of the pair');
  const findings = findAll({
    session: sessionOf([tapOf()], 14.4),
    measurements: measurementsOf({ radio: clippingAt(6.3), settings: [20, 28, 36, 40] }),
  });
  const volts = [
    ...findingsOf(findings, 'clipping').flatMap(({ perSetting }) =>
      perSetting.map(({ voltsRms }) => voltsRms),
    ),
    ...findingsOf(findings, 'volume-law').flatMap(({ levels }) => levels.map(({ voltsRms }) => voltsRms)),
  ];
  expect(volts.length).toBeGreaterThan(10);
  expect(volts.every(isNotMeasurable)).toBe(true);
});

test.each([
  [25.2, 'above the supply', true],
  [3.9, 'far below', false],
  [1.26, 'far below', true],
] as const)('a clip at %f V peak on 14.4 V is %s', (volts, verdict, withheld) => {
  // 25.2: twice the pad or a boosted supply. 3.9: a limiter or the processor. 1.26: a pad ten times out.
  const rail = railOf(clippingAt(volts), { settings: [16, 24, 32, 40] })!;
  expect(rail.verdict).toBe(verdict);
  expect(rail.question).not.toBeNull();
  expect(voltsWithheld([rail]) !== null).toBe(withheld);
});

test('without a supply reading the usual 12.2 to 15 V is expected', () => {
  expect(railOf(clippingAt(11), { supplyVolts: null })).toMatchObject({
    verdict: 'as the supply allows',
    expectedVoltsPeak: [10.2, 14],
  });
});

test('clipping at a fixed drive, clipping without calibration and no clipping say nothing of the rail', () => {
  expect(railOf(clippingAt(12.6, { clip: { driveDbFs: () => -6, beforeFilters: true } }))).toBeNull();
  expect(railOf({ ...clippingAt(12.6), voltsPerFullScale: undefined })).toBeNull();
  expect(railOf({ ...clippingAt(12.6), clip: undefined })).toBeNull();
});

test('one clipping setting will do where a quieter one took the same drive cleanly', () => {
  expect(railOf(clippingAt(12.6), { settings: [20, 28, 40] })).toMatchObject({
    verdict: 'as the supply allows',
  });
});

test('a clip before the volume control that noise hides at the quieter settings is not called a rail', () => {
  const radio = clippingAt(99, {
    clip: { driveDbFs: () => -6.8, beforeFilters: true },
  });
  const session = sessionOf([tapOf()], 14.4);
  const [series] = tapSeries({ session, measurements: measurementsOf({ radio, settings: [8, 12, 16] }) });
  // One tone seen at one setting only, as through a steep low-pass in noise; the others at every setting.
  const takes = series.takes.map((take) => ({
    ...take,
    tones: take.tones.map((tone) =>
      tone.toneHz !== 997 || take.setting === 12
        ? tone
        : {
            ...tone,
            onset: notMeasurable(asWritten('none seen up to 0.0 dBFS of drive')),
            cleanUpToDriveDbFs: 0,
          },
    ),
  }));
  expect(findRail({ series: { ...series, takes }, session })).toBeNull();
});

test('a clip at one setting that a louder one does not have is not called a rail', () => {
  const radio = clippingAt(99, { clip: { driveDbFs: () => -6.8, beforeFilters: true } });
  const session = sessionOf([tapOf()], 14.4);
  const [series] = tapSeries({ session, measurements: measurementsOf({ radio, settings: [8, 12, 16] }) });
  const takes = series.takes.map((take) => ({
    ...take,
    tones: take.tones
      .filter(({ toneHz }) => toneHz === 997)
      .map((tone) =>
        take.setting === 12
          ? tone
          : {
              ...tone,
              onset: notMeasurable(asWritten('none seen up to -0.5 dBFS of drive')),
              cleanUpToDriveDbFs: -0.5,
            },
      ),
  }));
  expect(findRail({ series: { ...series, takes }, session })).toBeNull();
});

test('a clip that the next quieter setting may have had at the same drive is not called a rail', () => {
  const radio = clippingAt(99, { clip: { driveDbFs: () => -2.8, beforeFilters: true } });
  const session = sessionOf([tapOf()], 14.4);
  const [series] = tapSeries({ session, measurements: measurementsOf({ radio, settings: [8, 16, 20] }) });
  // As noise behind a low-pass leaves it: told at the loudest, held from below that drive at the next, seen late at the quietest.
  const held = notMeasurable(asWritten('from -3.1 dBFS of drive on the level stops following'));
  const takes = series.takes.map((take) => ({
    ...take,
    tones: take.tones
      .filter(({ toneHz }) => toneHz === 55)
      .map((tone) =>
        take.setting === 20
          ? tone
          : { ...tone, onset: held, cleanUpToDriveDbFs: take.setting === 8 ? -0.5 : -3.5 },
      ),
  }));
  expect(findRail({ series: { ...series, takes }, session })).toBeNull();
});
