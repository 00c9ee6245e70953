import { describe, expect, test } from 'vitest';
import { delayBetween } from '../../src/measure/delay-between.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { TapMeasurement } from '../../src/model/measurement.ts';
import { magnitudeDb } from '../../src/model/response.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { ScenarioInput } from '../../src/simulate/scenario.ts';
import { measuredSpoilt } from './spoilt.ts';

/** A pair of which the right one is 100 microseconds late: left and right are swept 6.7 s apart. */
const FULL_RANGE: Partial<ScenarioInput> = {
  settings: [20],
  track: 'response only',
  taps: [
    { id: 'front-left', side: 'left' },
    { id: 'front-right', side: 'right', delayMicroseconds: 100 },
  ],
};
const SUBWOOFER: Partial<ScenarioInput> = {
  settings: [20],
  taps: [
    {
      id: 'subwoofer',
      side: 'both',
      position: 'subwoofer',
      crossover: [{ side: 'low-pass', family: 'linkwitz-riley', order: 4, cornerHz: 90 }],
    },
  ],
};

function measured(changes: Partial<ScenarioInput>) {
  const { measurements, facts } = measuredSpoilt(() => {}, exampleScenario('flat full range', changes));
  return { taps: measurements, ppm: facts[0].clockPpm!.value };
}

function delayMicroseconds([left, right]: readonly TapMeasurement[]): number {
  return 1e6 * delayBetween({ earlier: left.left, later: right.right })!.value;
}

const steady = measured({ ...FULL_RANGE, recorder: { clockPpm: 0 } });

describe('clocks that differ', () => {
  test.each([
    ['500 ppm fast', { recorder: { clockPpm: 500 } }, 500],
    ['500 ppm slow', { recorder: { clockPpm: -500 } }, -500],
    [
      '44.1 kHz sound on a 48 kHz recorder, 120 ppm',
      { playerRateHz: 44_100, recorder: { clockPpm: 120 } },
      120,
    ],
    ['a recorder at 44.1 kHz, 200 ppm', { recorder: { clockPpm: 200, sampleRateHz: 44_100 } }, 200],
  ] as [string, Partial<ScenarioInput>, number][])(
    '%s: ratio within 0.3 ppm, levels within 0.05 dB and delay within 5 microseconds of those without drift',
    (_, changes, ppm) => {
      const drifting = measured({ ...FULL_RANGE, ...changes });
      expect(Math.abs(drifting.ppm - ppm)).toBeLessThan(0.3);
      expect(Math.abs(delayMicroseconds(drifting.taps) - 100)).toBeLessThan(5);
      expect(Math.abs(delayMicroseconds(steady.taps) - 100)).toBeLessThan(5);
      const [a, b] = [magnitudeDb(drifting.taps[0].left), magnitudeDb(steady.taps[0].left)];
      const worst = gridFrequencyHz.reduce(
        (most, hz, i) => (hz < 30 || hz > 15_000 ? most : Math.max(most, Math.abs(a[i] - b[i]))),
        0,
      );
      // Two takes at 60 dB SNR differ by noise alone; the median shows what the clock does.
      const differences = Array.from(gridFrequencyHz, (_hz, i) => a[i] - b[i])
        .slice(80, 480)
        .sort((x, y) => x - y);
      expect(Math.abs(differences[200])).toBeLessThan(0.01);
      expect(worst).toBeLessThan(0.05);
    },
  );

  test('a file of nothing but a subwoofer: within 5 ppm', () => {
    expect(Math.abs(measured({ ...SUBWOOFER, recorder: { clockPpm: 500 } }).ppm - 500)).toBeLessThan(5);
  });

  test('without drift the ratio is found to be none', () => {
    expect(Math.abs(steady.ppm)).toBeLessThan(0.3);
  });
});
