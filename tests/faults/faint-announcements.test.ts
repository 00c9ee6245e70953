import { describe, expect, test } from 'vitest';
import { type BandEdge, findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable, type Measured } from '../../src/model/measured.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { ScenarioInput, TapInput } from '../../src/simulate/scenario.ts';
import { analysedSpoilt } from './spoilt.ts';

/** Dash and door part at 700 Hz, which the sweep passes in the middle of the chime. */
const CORNER_HZ = 700;
/** RMS volts of the sweep at setting 16. */
const SWEEP_VOLTS = 0.172;
const filter = { family: 'linkwitz-riley', order: 4, cornerHz: CORNER_HZ } as const;
const SPLIT: Partial<ScenarioInput> = {
  settings: [12, 16, 20],
  track: 'response only',
  taps: [
    { id: 'dash-left', side: 'left', position: 'dash', crossover: [{ side: 'high-pass', ...filter }] },
    { id: 'door-left', side: 'left', position: 'door', crossover: [{ side: 'low-pass', ...filter }] },
  ],
  recorder: { startSeconds: [1, 1] },
};

function analysed(announcements: TapInput['announcements']) {
  const { findings } = analysedSpoilt({
    scenario: exampleScenario('flat full range', { ...SPLIT, everyTap: { announcements } }),
  });
  const edges = findingsOf(findings, 'band').flatMap(({ lowEdge, highEdge }) => [lowEdge, highEdge]);
  const changes = findingsOf(findings, 'bass-change').flatMap((finding) => finding.changes);
  return {
    points: edges.flatMap((edge: BandEdge | null) => (edge === null ? [] : [edge.minus3Hz])),
    bass: changes.flatMap(({ changeDb }) => changeDb).map((one) => (isNotMeasurable(one) ? null : one)),
    verdicts: [
      ...findingsOf(findings, 'band').map(({ verdict, fixedEq }) => `${verdict}, ${fixedEq.length} EQ`),
      ...findingsOf(findings, 'bass-change').map(({ verdict }) => verdict),
    ],
  };
}

const without = analysed([]);

describe('a chime too faint, or too early, to be told for sure', () => {
  test.each([
    ['25 dB below the sweep', 4.4, 1, -25],
    ['30 dB below it', 4.4, 1, -30],
    ['40 dB below it', 4.4, 1, -40],
    ['6 dB above it, in its first 0.7 s', 1.5, 0.7, 6],
  ] as const)(
    '%s: −3 dB points stay within their uncertainty, bass within 0.012 dB',
    (_, at, durationSeconds, db) => {
      const heard = analysed([
        {
          kind: 'chime',
          file: 'setting-16.wav',
          atSeconds: 1 + at,
          durationSeconds,
          voltsRms: SWEEP_VOLTS * 10 ** (db / 20),
        },
      ]);
      // What is too faint to be told may leave an answer open; it turns none.
      heard.verdicts.forEach((verdict, i) => {
        expect([without.verdicts[i], 'cannot be told']).toContain(verdict);
      });
      expect(heard.points).toHaveLength(2);
      heard.points.forEach((point, i) => {
        const [found, plain] = [point, without.points[i]] as Measured[];
        expect(Math.abs(found.value - plain.value)).toBeLessThan(found.plusMinus);
        expect(Math.abs(found.value / plain.value - 1)).toBeLessThan(2e-4);
      });
      heard.bass.forEach((found, i) => {
        const plain = without.bass[i];
        if (found !== null && plain !== null) expect(Math.abs(found.value - plain.value)).toBeLessThan(0.012);
      });
    },
  );
});
