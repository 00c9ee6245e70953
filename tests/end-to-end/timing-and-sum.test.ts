import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { fromRecord } from '../../src/model/measurement-record.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { trueSum } from '../../src/simulate/true-response.ts';
import { analysedScenario } from './analysed-scenario.ts';
import { expectNear } from './expect-near.ts';

describe('delay and polarity at 60 dB SNR', () => {
  test.each(['per setting', 'per pair'] as const)(
    'within 3 microseconds and the right sign, files %s',
    (kind) => {
      const { results } = analysedScenario(
        exampleScenario('delay and inversion', {
          settings: [16, 20, 26],
          track: 'response only',
          files: { kind, referenceTapId: 'front-left' },
          recorder: { clockPpm: -112 },
        }),
      );
      const [timing] = findingsOf(results.findings, 'timing');
      expect([timing.tapId, timing.referenceTapId]).toEqual(['front-right', 'front-left']);
      expectNear(timing.delaySeconds, 412.3e-6, 3e-6);
      expect(timing.polarity).toBe('inverted');
    },
  );
});

describe('sum of two taps', () => {
  test.each(['linkwitz-riley 2', 'linkwitz-riley 4', 'butterworth 3', 'dash late and inverted'] as const)(
    '%s: predicted from the single responses within 0.2 dB of the two signals added, 30 Hz to 15 kHz',
    (name) => {
      const { scenario, results } = analysedScenario(
        exampleScenario(name, { track: 'response only', settings: [20] }),
      );
      const taps = results.measurements.map(fromRecord);
      const volts = taps[0].voltsPerFullScale!.volts;
      const sum = trueSum(scenario, {
        tapIds: taps.map(({ tapId }) => tapId),
        setting: 20,
        programme: 'left',
      });
      const strongest = Math.max(
        ...Array.from(gridFrequencyHz, (hz) => Math.hypot(sum(hz).real, sum(hz).imag)),
      );
      gridFrequencyHz.forEach((hz, i) => {
        const { real, imag } = sum(hz);
        const expected = Math.hypot(real, imag);
        // In a null 20 dB deep the level is noise, and no loss.
        if (hz < 30 || hz > 15_000 || expected < strongest / 10) return;
        const predicted =
          volts *
          Math.hypot(
            taps.reduce((total, tap) => total + tap.left.real[i], 0),
            taps.reduce((total, tap) => total + tap.left.imag[i], 0),
          );
        expect(Math.abs(20 * Math.log10(predicted / expected))).toBeLessThanOrEqual(0.2);
      });
    },
  );
});
