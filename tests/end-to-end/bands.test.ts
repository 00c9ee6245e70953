import { describe, expect, test } from 'vitest';
import { type BandEdge, findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { TrueBandEdge } from '../../src/simulate/true-band.ts';
import { analysedScenario } from './analysed-scenario.ts';
import { expectWithinPercent } from './expect-near.ts';

const LARGEST_ERROR_PERCENT = 2;

function expectEdge(found: BandEdge | null, truth: TrueBandEdge | null): void {
  expect(found === null).toBe(truth === null);
  if (found === null || truth === null) return;
  expectWithinPercent(found.minus3Hz, truth.minus3Hz, LARGEST_ERROR_PERCENT);
  expectWithinPercent(found.minus6Hz, truth.minus6Hz, LARGEST_ERROR_PERCENT);
  expect(found.slopeDbPerOctave).toBe(truth.slopeDbPerOctave);
  if (isNotMeasurable(found.filter)) return;
  expect({ family: found.filter.family, order: found.filter.order }).toEqual({
    family: truth.family,
    order: truth.order,
  });
  expectWithinPercent(found.filter.cornerHz, truth.cornerHz, LARGEST_ERROR_PERCENT);
}

describe('band limits at 60 dB SNR', () => {
  test.each([
    ['linkwitz-riley 2', true],
    ['linkwitz-riley 4', true],
    ['linkwitz-riley 8', true],
    ['butterworth 1', true],
    ['butterworth 2', true],
    ['butterworth 3', true],
    ['butterworth 4', true],
    ['bessel 2', true],
    ['bessel 4', true],
    ['subwoofer tap', false],
  ] as const)(
    '%s (a pair: %s): -3 and -6 dB points and a named corner within 2 %%, and the right slope',
    (name, pair) => {
      const { truth, results } = analysedScenario(
        exampleScenario(name, { track: 'response only', settings: [16, 20, 26] }),
      );
      for (const band of findingsOf(results.findings, 'band')) {
        const { lowEdge, highEdge } = truth.taps.find(({ tapId }) => tapId === band.tapIds[0])!.band;
        expect(band.verdict).toBe(lowEdge === null && highEdge === null ? 'full range' : 'band-limited');
        expectEdge(band.lowEdge, lowEdge);
        expectEdge(band.highEdge, highEdge);
      }
      expect(findingsOf(results.findings, 'crossover').length).toBe(pair ? 1 : 0);
      if (pair) {
        const [crossover] = findingsOf(results.findings, 'crossover');
        expect([crossover.lowTapId, crossover.highTapId]).toEqual(['door-left', 'dash-left']);
      }
    },
  );
});
