import { describe, expect, test } from 'vitest';
import { delayBetween } from '../../src/measure/sweeps/delay-between.ts';
import { findingsOf } from '../../src/model/finding.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { isNotMeasurable, type MeasuredOrReason } from '../../src/model/measured.ts';
import type { TapMeasurement } from '../../src/model/measurement.ts';
import { magnitudeDb } from '../../src/model/response.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { ScenarioInput } from '../../src/simulate/scenario.ts';
import { analysedSpoilt, measuredSpoilt } from './spoilt.ts';

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

  test.each([
    ['500 ppm fast', { recorder: { clockPpm: 500 } }, 500],
    ['44.1 kHz sound, 500 ppm slow', { playerRateHz: 44_100, recorder: { clockPpm: -500 } }, -500],
  ] as [string, Partial<ScenarioInput>, number][])(
    'a file of nothing but a subwoofer, %s: ratio within 5 ppm, levels within 0.05 dB of those without drift',
    (_, changes, ppm) => {
      const drifting = measured({ ...SUBWOOFER, ...changes });
      expect(Math.abs(drifting.ppm - ppm)).toBeLessThan(5);
      const [a, b] = [drifting, measured({ ...SUBWOOFER, recorder: { clockPpm: 0 } })].map(({ taps }) =>
        magnitudeDb(taps[0].left),
      );
      gridFrequencyHz.forEach((hz, i) => {
        if (hz >= 20 && hz <= 90) expect(Math.abs(a[i] - b[i]), `${hz} Hz`).toBeLessThan(0.05);
      });
    },
  );

  test('without drift the ratio is found to be none', () => {
    expect(Math.abs(steady.ppm)).toBeLessThan(0.3);
  });
});

/** Bass that falls, a rail that is reached, a late tap: everything that is stated in decibels or microseconds. */
const EVERYTHING: Partial<ScenarioInput> = {
  settings: [16, 18, 20, 36],
  everyTap: { volumeDependent: [{ kind: 'low shelf', frequencyHz: 80, gainDb: { '20': 0, '36': -6 } }] },
  taps: [
    { id: 'front-left', side: 'left' },
    { id: 'front-right', side: 'right', delayMicroseconds: 100 },
  ],
};

/** By what they say, so that two analyses compare value by value. */
function statedValues(changes: Partial<ScenarioInput>) {
  const { findings, checks } = analysedSpoilt({
    scenario: exampleScenario('rail clip', { ...EVERYTHING, ...changes }),
  });
  const decibels = new Map<string, number>();
  const state = (what: string, answer: MeasuredOrReason) => {
    if (!isNotMeasurable(answer)) decibels.set(what, answer.value);
  };
  for (const { id, changes: rows } of findingsOf(findings, 'bass-change'))
    for (const { setting, changeDb } of rows)
      changeDb.forEach((value, at) => {
        state(`${id} ${setting} ${at}`, value);
      });
  for (const { id, levels } of findingsOf(findings, 'volume-law'))
    for (const { setting, levelDbFs } of levels) decibels.set(`${id} ${setting}`, levelDbFs);
  for (const { id, perSetting } of findingsOf(findings, 'clipping'))
    for (const { setting, driveDbFs } of perSetting) state(`${id} ${setting}`, driveDbFs);
  const [{ delaySeconds }] = findingsOf(findings, 'timing');
  return {
    decibels,
    seconds: isNotMeasurable(delaySeconds) ? Number.NaN : delaySeconds.value,
    noiseDbFs: checks!.takes.flatMap(({ facts }) => facts.channels.map((channel) => channel.noiseDbFs!)),
    mutes: findingsOf(findings, 'noise').some(({ mutesInSilence }) => mutesInSilence),
  };
}

describe('what is found with clocks that differ', () => {
  const without = statedValues({ recorder: { clockPpm: 0 } });

  test('there is much to compare', () => {
    expect(without.decibels.size).toBeGreaterThan(40);
    expect(Math.abs(without.seconds - 100e-6)).toBeLessThan(5e-6);
  });

  test.each([
    ['500 ppm fast', { recorder: { clockPpm: 500 } }],
    [
      '44.1 kHz sound on a 48 kHz recorder, 500 ppm slow',
      { playerRateHz: 44_100, recorder: { clockPpm: -500 } },
    ],
  ] as [string, Partial<ScenarioInput>][])(
    '%s: bass, levels and clipping within 0.05 dB, delay within 5 microseconds of those without drift',
    (_, changes) => {
      const drifting = statedValues(changes);
      expect([...drifting.decibels.keys()].sort()).toEqual([...without.decibels.keys()].sort());
      for (const [what, value] of drifting.decibels)
        expect(Math.abs(value - without.decibels.get(what)!), what).toBeLessThan(0.05);
      expect(Math.abs(drifting.seconds - without.seconds)).toBeLessThan(5e-6);
      // What the quiet tone's lines leave is no noise, and no mute.
      drifting.noiseDbFs.forEach((dbFs, i) => {
        expect(Math.abs(dbFs - without.noiseDbFs[i])).toBeLessThan(0.05);
      });
      expect(drifting.mutes).toBe(false);
    },
  );
});
