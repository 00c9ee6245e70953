import { describe, expect, test } from 'vitest';
import { type FindingOf, findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason } from '../../src/model/measured.ts';
import type { Results } from '../../src/model/results.ts';
import { type ExampleName, exampleScenario } from '../../src/simulate/examples.ts';
import type { ScenarioInput } from '../../src/simulate/scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { analysedSpoilt } from './spoilt.ts';

function analysed(name: ExampleName, changes: Partial<ScenarioInput>): Results {
  return analysedSpoilt({ scenario: exampleScenario(name, changes) });
}
const atSnr = (snrDb: number): Partial<ScenarioInput> => ({ everyTap: { noise: { snrDb } } });

/** Worst error of the bass change against the truth, over what was measured, and how much was. */
function bassErrors(name: ExampleName, changes: Partial<ScenarioInput>) {
  const scenario = exampleScenario(name, changes);
  const { truth } = simulate(scenario);
  const results = analysedSpoilt({ scenario });
  let [worstDb, count] = [0, 0];
  for (const finding of findingsOf(results.findings, 'bass-change')) {
    const tap = truth.taps.find(({ tapId }) => tapId === finding.tapIds[0])!;
    for (const { setting, changeDb } of finding.changes)
      changeDb.forEach((value, at) => {
        const expected = tap.settings.find((row) => row.setting === setting)?.bassChangeDb[at];
        if (isNotMeasurable(value) || expected === undefined || expected === null) return;
        count++;
        worstDb = Math.max(worstDb, Math.abs(value.value - expected));
      });
  }
  return { worstDb, count, results };
}

function highEdge(results: Results): NonNullable<FindingOf<'band'>['highEdge']> {
  return findingsOf(results.findings, 'band').find(({ tapIds }) => tapIds[0] === 'door-left')!.highEdge!;
}
const value = (answer: MeasuredOrReason) => (isNotMeasurable(answer) ? Number.NaN : answer.value);

describe('at 40 dB SNR', () => {
  test('bass change is within 0.2 dB at every setting and frequency that is claimed', () => {
    const { worstDb, count } = bassErrors('shelf loss', { ...atSnr(40), settings: [12, 16, 20, 26] });
    expect(count).toBeGreaterThanOrEqual(16);
    expect(worstDb).toBeLessThan(0.2);
  });

  test.each(['linkwitz-riley 4', 'butterworth 2'] as const)(
    'the corner of %s is within 3 %%, where one is named',
    (name) => {
      const results = analysed(name, { ...atSnr(40), settings: [20, 26], track: 'response only' });
      const { filter, minus3Hz } = highEdge(results);
      const scenario = exampleScenario(name);
      const declared = scenario.taps[1].crossover[0].cornerHz;
      // Closed form: -3 dB of an LR4 (a squared Butterworth 2) lies at (sqrt(2) - 1)^(1/4) of its corner.
      const trueMinus3 = name === 'butterworth 2' ? declared : declared * (Math.SQRT2 - 1) ** 0.25;
      expect(Math.abs(value(minus3Hz) / trueMinus3 - 1)).toBeLessThan(0.03);
      if (!isNotMeasurable(filter)) expect(Math.abs(filter.cornerHz.value / declared - 1)).toBeLessThan(0.03);
    },
  );
});

describe('at 20 dB SNR', () => {
  test('bass change is within 1.5 dB where it is claimed at all', () => {
    const { worstDb } = bassErrors('shelf loss', { ...atSnr(20), settings: [12, 16, 20, 26] });
    expect(worstDb).toBeLessThan(1.5);
  });

  test('a band limit is within a sixth of an octave, and slope and family are withheld', () => {
    const results = analysed('linkwitz-riley 4', {
      ...atSnr(20),
      settings: [20, 26],
      track: 'response only',
    });
    const band = findingsOf(results.findings, 'band').find(({ tapIds }) => tapIds[0] === 'door-left')!;
    const { highEdge: edge } = band;
    if (edge === null) {
      expect(band.verdict).toBe('cannot be told');
      return;
    }
    const declared = exampleScenario('linkwitz-riley 4').taps[1].crossover[0].cornerHz;
    const minus3Hz = value(edge.minus3Hz);
    if (!Number.isNaN(minus3Hz))
      expect(Math.abs(Math.log2(minus3Hz / (declared * (Math.SQRT2 - 1) ** 0.25)))).toBeLessThan(1 / 6);
    expect(typeof edge.slopeDbPerOctave).not.toBe('number');
    expect(isNotMeasurable(edge.filter)).toBe(true);
  });

  test('a flat radio shows no loss, no band limit and no EQ', () => {
    const results = analysed('flat full range', {
      ...atSnr(20),
      settings: [16, 20, 26],
      track: 'response only',
    });
    for (const { verdict } of findingsOf(results.findings, 'bass-change'))
      expect(['steady', 'cannot be told']).toContain(verdict);
    for (const { verdict, fixedEq } of findingsOf(results.findings, 'band')) {
      expect(['full range', 'cannot be told']).toContain(verdict);
      expect(fixedEq).toEqual([]);
    }
  });
});
