import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf } from '../../src/model/reason.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { analysedScenario } from './analysed-scenario.ts';
import { expectNear, measuredValue } from './expect-near.ts';

/** Both fronts of an example are alike: one serves. */
const ONE_TAP = { taps: [{ id: 'front-left', side: 'left', position: 'front' }] } as const;

const decibels = (ratio: number) => 20 * Math.log10(ratio);

describe('clipping at 60 dB SNR', () => {
  test.each([
    ['rail clip', 'after the volume control'],
    ['clip before the volume control', 'before the volume control'],
  ] as const)(
    '%s is placed %s, its drive at 1 %% within 0.1 dB and its volts within 0.05 dB',
    (name, place) => {
      const { truth, results } = analysedScenario(exampleScenario(name, ONE_TAP));
      let compared = 0;
      for (const finding of findingsOf(results.findings, 'clipping')) {
        const tap = truth.taps.find(({ tapId }) => tapId === finding.tapIds[0])!;
        for (const { setting, driveDbFs, voltsRms } of finding.perSetting) {
          const onset = tap.settings
            .find((one) => one.setting === setting)!
            .clipping.find(({ toneHz }) => toneHz === finding.toneHz)!;
          if (isNotMeasurable(driveDbFs)) {
            // A ladder step 0.5 dB above the onset shows it; less may escape.
            const topDrive = finding.toneHz === 6007 ? -3 : 0;
            expect(onset.driveDbFs === null || onset.driveDbFs > topDrive - 0.5).toBe(true);
            continue;
          }
          compared++;
          expectNear(driveDbFs, onset.driveDbFs!, 0.1);
          expect(Math.abs(decibels(measuredValue(voltsRms) / onset.voltsRms!))).toBeLessThanOrEqual(0.05);
        }
        if (finding.place !== 'none seen' && finding.place !== 'cannot be told')
          expect(finding.place).toBe(place);
      }
      expect(compared).toBeGreaterThanOrEqual(2);
      expect(findingsOf(results.findings, 'clipping').some((finding) => finding.place === place)).toBe(true);
    },
  );

  test('the highest clean setting is the last one whose full-scale tone stays below the rail', () => {
    const { truth, results } = analysedScenario(exampleScenario('rail clip', ONE_TAP));
    const expected = Math.max(
      ...truth.taps[0].settings
        .filter(({ cleanAtFullScale }) => cleanAtFullScale)
        .map(({ setting }) => setting),
    );
    const advice = results.recommendations.find(({ kind }) => kind === 'highest-clean-setting');
    expect(advice).toMatchObject({ recorded: expected });
  });

  test('volts at every setting are within 0.05 dB where the calibration is true', () => {
    const { truth, results } = analysedScenario(exampleScenario('flat full range', ONE_TAP));
    for (const law of findingsOf(results.findings, 'volume-law'))
      for (const { setting, voltsRms } of law.levels) {
        const tap = truth.taps.find(({ tapId }) => tapId === law.tapIds[0])!;
        const expected = tap.settings.find((one) => one.setting === setting)!.voltsRms;
        expect(Math.abs(decibels(measuredValue(voltsRms) / expected))).toBeLessThanOrEqual(0.05);
      }
  });

  test('one leg taken for the pair: half of what the supply allows is asked about, and no volts are claimed', () => {
    const { results } = analysedScenario(exampleScenario('one leg taken for the pair', ONE_TAP));
    const [rail] = findingsOf(results.findings, 'rail');
    expect(rail.verdict).toBe('half of it');
    expect(codeOf(rail.question)).toBe('one leg instead of the pair');
    for (const advice of results.recommendations)
      if (advice.kind === 'converter-level') expect(isNotMeasurable(advice.gainDb)).toBe(true);
  });
});
