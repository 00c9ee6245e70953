import { expect, test } from 'vitest';
import { tapSeries } from '../../src/findings/tap-series.ts';
import { findVolumeLaw } from '../../src/findings/volume-law.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { measurementsOf, pass, type Radio, sessionOf, shelf, tapOf } from './synthetic.ts';

function lawOf(radio: Partial<Radio>, settings = [10, 14, 18, 22]) {
  const measurements = measurementsOf({
    radio: { gainDb: (setting) => setting - 40, snrDb: 60, ...radio },
    settings,
  });
  const [series] = tapSeries({ session: sessionOf([tapOf()]), measurements });
  return findVolumeLaw(series);
}

test('level and volts follow the volume law, within 0.05 dB, whatever the bass does', () => {
  const law = lawOf({ voltsPerFullScale: 20, filters: (setting) => [shelf(80, setting - 22)] })!;
  expect(law.followsVolume).toBe(true);
  expect(law.dbPerStep).toBeCloseTo(1, 2);
  for (const { setting, levelDbFs, voltsRms } of law.levels) {
    expect(Math.abs(levelDbFs - (setting - 40))).toBeLessThan(0.05);
    if (isNotMeasurable(voltsRms)) throw new Error(reasonText(voltsRms.notMeasurable));
    expect(Math.abs(20 * Math.log10(voltsRms.value / (20 * 10 ** ((setting - 40) / 20))))).toBeLessThan(0.05);
  }
});

test('without a calibration there are levels and no volts', () => {
  expect(lawOf({})!.levels.every(({ voltsRms }) => isNotMeasurable(voltsRms))).toBe(true);
});

test('the median step is not thrown by one odd step', () => {
  expect(lawOf({ gainDb: (setting) => 2 * setting - 60 - (setting > 20 ? 5 : 0) })!.dbPerStep).toBeCloseTo(
    2,
    2,
  );
});

test('a fixed-level tap does not follow the volume', () => {
  expect(lawOf({ gainDb: () => -12 })).toMatchObject({ followsVolume: false });
});

test('a subwoofer output and a tweeter output are read in their own bands', () => {
  for (const filter of [pass('low-pass', 80), pass('high-pass', 4000)]) {
    const law = lawOf({ filters: () => [filter], snrDb: 50 })!;
    expect(law.followsVolume).toBe(true);
    expect(law.dbPerStep).toBeCloseTo(1, 1);
  }
});

test('one setting has a level and no step', () => {
  expect(lawOf({}, [20])).toMatchObject({ dbPerStep: null, followsVolume: true });
});

test('loudness and tone control that lift the bass far above the middle do not draw the reading into the bass', () => {
  const lifted = (setting: number) => [shelf(100, setting < 16 ? 13 : 5)];
  const law = lawOf({ filters: lifted })!;
  expect(law.dbPerStep).toBeCloseTo(1, 2);
  for (const { setting, levelDbFs } of law.levels)
    expect(Math.abs(levelDbFs - (setting - 40))).toBeLessThan(0.1);
});

test('a level that moves by more than 1 dB in all follows the volume, up or down', () => {
  const follows = (overall: number) =>
    lawOf({ gainDb: (setting) => -20 + (overall * (setting - 10)) / 12, snrDb: 200 })!.followsVolume;
  expect([0.97, 1.03, -0.97, -1.03].map(follows)).toEqual([false, true, false, true]);
  // At 20 dB of noise the level of each is uncertain: more than its own error is asked for.
  const noisy = { gainDb: (setting: number) => -20 + (1.03 * (setting - 10)) / 12, snrDb: 20 };
  expect(lawOf(noisy)!.followsVolume).toBe(false);
});

test('the step of an even number of steps is the middle of the two in the middle', () => {
  // 1, 1, 3 and 4 dB a step.
  const levels: Readonly<Record<number, number>> = { 10: -40, 11: -39, 13: -37, 14: -34, 16: -26 };
  const law = lawOf({ gainDb: (setting) => levels[setting], snrDb: 200 }, [10, 11, 13, 14, 16])!;
  expect(law.dbPerStep).toBeCloseTo(2, 3);
});

test('volts are as uncertain as the calibration where nothing is noisy: 3 % of them', () => {
  const [{ voltsRms }] = lawOf({ voltsPerFullScale: 20, relativeUncertainty: 0.03, snrDb: 200 })!.levels;
  if (isNotMeasurable(voltsRms)) throw new Error(reasonText(voltsRms.notMeasurable));
  expect(voltsRms.plusMinus / voltsRms.value).toBeCloseTo(0.03, 4);
});

test('where nothing is trusted there is no law', () => {
  expect(lawOf({ weights: [0, 0] })).toBeNull();
});
