import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { type ExampleName, exampleScenario } from '../../src/simulate/examples.ts';
import { trueOnset } from '../../src/simulate/true-bass.ts';
import { analysedScenario } from './analysed-scenario.ts';
import { expectNear } from './expect-near.ts';

// Recordings at 60 dB SNR, 24 bits, clocks 37 ppm apart; the truth comes from the filters that made the sound, which
// agree with scipy (tests/dsp/filter-prototype.test.ts).
const LARGEST_ERROR_DB = 0.1;
/** Both fronts of an example are alike: one serves. */
const ONE_TAP = { taps: [{ id: 'front-left', side: 'left', position: 'front' }] } as const;

describe('bass that falls with the volume', () => {
  test.each([
    ['shelf loss', 'shelf'],
    ['moving high-pass order 2', 'high-pass'],
    ['moving high-pass order 4', 'high-pass'],
    ['high-pass order 2 from 30 to 90 Hz', 'shelf or high-pass'],
    ['loss of 8 dB at 50 Hz', 'shelf'],
  ] as const)('%s: every change within 0.1 dB, the right bracket, and "%s"', (name, model) => {
    const { scenario, truth, results } = analysedScenario(exampleScenario(name, ONE_TAP));
    const found = findingsOf(results.findings, 'bass-change');
    expect(found.map(({ verdict }) => verdict)).toEqual(['falls with volume']);
    for (const finding of found) {
      const tap = truth.taps.find(({ tapId }) => tapId === finding.tapIds[0])!;
      finding.changes.forEach(({ setting, changeDb }) => {
        const expected = tap.settings.find((one) => one.setting === setting)!.bassChangeDb;
        for (const [i, change] of changeDb.entries()) expectNear(change, expected[i]!, LARGEST_ERROR_DB);
      });
      const { atHz, thresholdDb, lastIntact, firstChanged } = finding.onset!;
      const onset = trueOnset(scenario, { tapId: tap.tapId, atHz, thresholdDb })!;
      expect({ lastIntact, firstChanged }).toEqual({
        lastIntact: onset.lastIntact,
        firstChanged: onset.firstChanged,
      });
      expect(finding.shape!.model).toBe(model);
    }
    expect(findingsOf(results.findings, 'loudness-contour')).toEqual([]);
    expect(findingsOf(results.findings, 'bass-limiter')).toEqual([]);
  });
});

describe('bass that does not fall with the volume', () => {
  test.each(['flat full range', 'fixed tone control'] as ExampleName[])(
    '%s: no bass finding, no band limit, no crossover, no summing, no restoration',
    (name) => {
      const { results } = analysedScenario(exampleScenario(name));
      expect(findingsOf(results.findings, 'bass-change').map(({ verdict }) => verdict)).toEqual([
        'steady',
        'steady',
      ]);
      expect(findingsOf(results.findings, 'band').map(({ verdict }) => verdict)).toEqual([
        'full range',
        'full range',
      ]);
      for (const kind of ['loudness-contour', 'bass-limiter', 'crossover', 'common-ceiling'] as const)
        expect(findingsOf(results.findings, kind)).toEqual([]);
      for (const recommendation of results.recommendations)
        if (recommendation.kind === 'feed' && recommendation.output !== 'subwoofer')
          expect(recommendation.taps.length).toBe(1);
    },
  );

  test('loudness contour only: named as such, and never a loss', () => {
    const { results } = analysedScenario(exampleScenario('loudness only', ONE_TAP));
    expect(findingsOf(results.findings, 'bass-change').map(({ verdict }) => verdict)).toEqual(['steady']);
    expect(findingsOf(results.findings, 'loudness-contour').map(({ upToSetting }) => upToSetting)).toEqual([
      16,
    ]);
  });

  test.each([
    ['limiter before the volume control', 'before the volume control'],
    ['limiter after the volume control', 'after the volume control'],
  ] as const)('%s only: named with its place, and never a volume-dependent loss', (name, place) => {
    const { results } = analysedScenario(exampleScenario(name, ONE_TAP));
    expect(findingsOf(results.findings, 'bass-limiter').map((finding) => finding.place)).toEqual([place]);
    for (const { verdict } of findingsOf(results.findings, 'bass-change'))
      expect(verdict).not.toBe('falls with volume');
  });

  test('a tweeter tap with mains hum and no bass has neither a limiter nor a loss', () => {
    const { results } = analysedScenario(
      exampleScenario('linkwitz-riley 4', {
        settings: [18, 22, 26],
        everyTap: { lines: [{ frequencyHz: 50, voltsRms: 0.0008, harmonics: 3 }] },
        taps: [
          {
            id: 'dash-left',
            side: 'left',
            position: 'dash',
            crossover: [{ side: 'high-pass', family: 'linkwitz-riley', order: 4, cornerHz: 2400 }],
          },
        ],
      }),
    );
    expect(findingsOf(results.findings, 'bass-limiter')).toEqual([]);
    expect(findingsOf(results.findings, 'bass-change').map(({ verdict }) => verdict)).toEqual([
      'cannot be told',
    ]);
  });
});
