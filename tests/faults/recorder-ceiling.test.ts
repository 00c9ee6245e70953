import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf } from '../../src/model/reason.ts';
import type { Results } from '../../src/model/results.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { ScenarioInput } from '../../src/simulate/scenario.ts';
import { someOf } from '../some-of.ts';
import { analysedSpoilt } from './spoilt.ts';

/** Clips of a radio on 14.4 V that reaches its rail at 12.6 V peak, or of a recorder in front of it. */
function analysed(changes: Partial<ScenarioInput>): Results {
  return analysedSpoilt({ scenario: exampleScenario('rail clip', { settings: [26, 34, 36], ...changes }) });
}
const doubts = (results: Results) =>
  findingsOf(results.findings, 'clipping')
    .filter(({ perSetting }) => perSetting.some(({ driveDbFs }) => !isNotMeasurable(driveDbFs)))
    .map(({ mayBeRecorder = false }) => mayBeRecorder);
/** In the plan and in the check alike. */
function asksForPad(results: Results): boolean {
  const inPlan = results.recommendations.some(
    (item) => item.kind === 'record-next' && codeOf(item.what) === 'record with a larger pad',
  );
  expect(results.checks!.recordNext.some(({ why }) => codeOf(why) === 'recorder may clip')).toBe(inPlan);
  return inPlan;
}

describe('an input stage that clips at -2 dBFS, below the recorder’s digital full scale', () => {
  // Full scale 9.8 V RMS behind the pad of 7: the input clips at 11.0 V peak, before the rail.
  const early = { padRatio: 7, inputClipDbFs: -2 };

  test('is not called the radio’s: it cannot be told, and the take with a larger pad is asked for', () => {
    const results = analysed({ recorder: early });
    expect(doubts(results).length).toBeGreaterThan(2);
    expect(doubts(results)).not.toContain(false);
    expect(asksForPad(results)).toBe(true);
    for (const { verdict } of someOf(findingsOf(results.findings, 'rail')))
      expect(verdict).not.toBe('as the supply allows');
  });

  test('the same without calibration', () => {
    const results = analysed({ recorder: early, calibration: { kind: 'none' } });
    expect(doubts(results)).not.toContain(false);
    expect(asksForPad(results)).toBe(true);
  });

  test('with a larger pad the radio’s rail is reached first, and is named without doubt', () => {
    const results = analysed({ recorder: { ...early, padRatio: 11 } });
    expect(doubts(results).length).toBeGreaterThan(2);
    expect(doubts(results)).not.toContain(true);
    expect(asksForPad(results)).toBe(false);
    for (const { verdict, clipVoltsPeak } of someOf(findingsOf(results.findings, 'rail'))) {
      expect(verdict).toBe('as the supply allows');
      expect(Math.abs(clipVoltsPeak.value - 12.6)).toBeLessThan(0.1);
    }
  });
});

test('a clip in front of the volume control is the radio’s, whatever its level', () => {
  const results = analysedSpoilt({
    scenario: exampleScenario('clip before the volume control', {
      settings: [20, 26, 30],
      recorder: { padRatio: 5 },
    }),
  });
  expect(doubts(results).length).toBeGreaterThan(0);
  expect(doubts(results)).not.toContain(true);
});
