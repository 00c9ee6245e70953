import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason } from '../../src/model/measured.ts';
import type { Results } from '../../src/model/results.ts';
import { type ExampleName, exampleScenario } from '../../src/simulate/examples.ts';
import type { ScenarioInput } from '../../src/simulate/scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { analysedSpoilt } from './spoilt.ts';

function analysed(name: ExampleName, changes: Partial<ScenarioInput>): Results {
  return analysedSpoilt({ scenario: exampleScenario(name, changes) });
}
/** Both fronts of the example are alike: one serves. */
const ONE_TAP = {
  taps: [{ id: 'front-left', side: 'left', position: 'front' }],
} satisfies Partial<ScenarioInput>;
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

/**
 * Where the low-pass of a split is 3 dB down against its corner. Closed forms: a Butterworth filter at its corner, a
 * Linkwitz-Riley of order 4 (a squared Butterworth of order 2) at (sqrt(2) - 1)^(1/4) of it; the high-pass mirrored.
 */
const BAND_SPLITS = [
  { name: 'linkwitz-riley 4', minus3PerCorner: (Math.SQRT2 - 1) ** 0.25 },
  { name: 'butterworth 2', minus3PerCorner: 1 },
  { name: 'butterworth 4', minus3PerCorner: 1 },
] as const;

/** The high edge of the door and the low edge of the dash, which the example puts at one corner. */
function edgesOf(results: Results, name: ExampleName, minus3PerCorner: number) {
  const declared = exampleScenario(name).taps[0].crossover[0].cornerHz;
  const bandOf = (tapId: string) => {
    const band = findingsOf(results.findings, 'band').find(({ tapIds }) => tapIds[0] === tapId)!;
    expect(band.verdict).toBe('band-limited');
    return band;
  };
  return [
    { edge: bandOf('door-left').highEdge!, declared, trueMinus3: declared * minus3PerCorner },
    { edge: bandOf('dash-left').lowEdge!, declared, trueMinus3: declared / minus3PerCorner },
  ];
}
const value = (answer: MeasuredOrReason) => (isNotMeasurable(answer) ? Number.NaN : answer.value);

describe('at 40 dB SNR', () => {
  test('bass change is within 0.2 dB at every setting and frequency that is claimed', () => {
    const { worstDb, count } = bassErrors('shelf loss', {
      ...ONE_TAP,
      ...atSnr(40),
      settings: [12, 16, 20, 26],
    });
    expect(count).toBeGreaterThanOrEqual(8);
    expect(worstDb).toBeLessThan(0.2);
  });

  test.each(BAND_SPLITS)(
    'corner and -3 dB point of $name are within 3 % at both taps',
    ({ name, minus3PerCorner }) => {
      const results = analysed(name, { ...atSnr(40), settings: [20, 26], track: 'response only' });
      for (const { edge, declared, trueMinus3 } of edgesOf(results, name, minus3PerCorner)) {
        expect(Math.abs(value(edge.minus3Hz) / trueMinus3 - 1)).toBeLessThan(0.03);
        if (!isNotMeasurable(edge.filter)) {
          expect(Math.abs(edge.filter.cornerHz.value / declared - 1)).toBeLessThan(0.03);
        }
      }
    },
  );
});

describe('at 20 dB SNR', () => {
  test('bass change is within 1.5 dB at every setting and frequency', () => {
    const { worstDb, count } = bassErrors('shelf loss', {
      ...ONE_TAP,
      ...atSnr(20),
      settings: [12, 16, 20, 26],
    });
    expect(count).toBeGreaterThanOrEqual(8);
    expect(worstDb).toBeLessThan(1.5);
  });

  test.each(BAND_SPLITS)(
    'the band limit of $name is within a sixth of an octave at both taps, slope and family are withheld',
    ({ name, minus3PerCorner }) => {
      const results = analysed(name, { ...atSnr(20), settings: [20, 26], track: 'response only' });
      for (const { edge, trueMinus3 } of edgesOf(results, name, minus3PerCorner)) {
        expect(Math.abs(Math.log2(value(edge.minus3Hz) / trueMinus3))).toBeLessThan(1 / 6);
        expect(typeof edge.slopeDbPerOctave).not.toBe('number');
        expect(isNotMeasurable(edge.filter)).toBe(true);
      }
    },
  );

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
