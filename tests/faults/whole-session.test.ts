import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf } from '../../src/model/reason.ts';
import type { Results } from '../../src/model/results.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { analysedSpoilt, applyGain, FALLING_BASS, knock, type Spoilable } from './spoilt.ts';

/** The radio's bass falls by a shelf of 4 dB at setting 26; nothing else is to be found. */
const whole = analysedSpoilt({});

function lossAt(results: Results, tapId: string, setting: number, at = 0) {
  const finding = findingsOf(results.findings, 'bass-change').find(({ tapIds }) => tapIds[0] === tapId)!;
  const value = finding.changes.find((change) => change.setting === setting)?.changeDb[at];
  return value === undefined || isNotMeasurable(value) ? null : value.value;
}
const verdicts = (results: Results) =>
  findingsOf(results.findings, 'bass-change').map(({ verdict }) => verdict);
const bands = (results: Results) => findingsOf(results.findings, 'band').map(({ verdict }) => verdict);
const remarks = (results: Results) =>
  results.checks!.takes.flatMap((take) =>
    take.remarks.map(({ reason }) => [take.facts.setting, codeOf(reason)]),
  );

describe('a session without fault', () => {
  test('the dash may be closed, and the setting that narrows the onset is named', () => {
    expect(whole.checks!.mayCloseDash).toBe(true);
    expect(whole.checks!.missing).toEqual([]);
    expect(remarks(whole)).toEqual([]);
    expect(whole.checks!.notes).toEqual([]);
    expect(whole.checks!.soFar).toEqual([
      {
        tapIds: ['front-left', 'front-right'],
        known: [
          { code: 'full range' },
          expect.objectContaining({ code: 'bass falls', lastIntact: 20, firstChanged: 26 }),
          { code: 'clean up to', setting: 26, isHighest: true, notRead: [] },
        ],
      },
    ]);
    expect(whole.checks!.recordNext).toEqual([
      expect.objectContaining({ settings: [23], needed: false, tapIds: ['front-left', 'front-right'] }),
    ]);
  });
});

describe('one bad take among good ones', () => {
  test('a recording that holds no track is left out and named, its setting is missing, the dash stays open', () => {
    const results = analysedSpoilt({
      spoil: ({ channels }, index) => {
        if (index === 1) for (const channel of channels) channel.fill(0);
      },
    });
    expect(results.measurements.map(({ setting }) => setting)).not.toContain(16);
    expect(results.notes.filter(({ file }) => file === 'setting-16.wav')).toHaveLength(1);
    expect(results.checks!.missing).toEqual([
      { tapId: 'front-left', settings: [16] },
      { tapId: 'front-right', settings: [16] },
    ]);
    expect(results.checks!.mayCloseDash).toBe(false);
    expect(results.checks!.reasons[0]).toMatchObject({
      tapIds: ['front-left', 'front-right'],
      settings: [16],
      reason: { code: 'take not read', files: ['setting-16.wav'] },
    });
  });

  test('a knock through the bass of one sweep makes no loss, and asks for that take again', () => {
    const results = analysedSpoilt({
      spoil: ({ channels, sampleRateHz }, index) => {
        if (index === 2)
          for (const channel of channels)
            knock(channel, { sampleRateHz, atSeconds: 4.4, peak: 0.4, ringsHz: 60 });
      },
    });
    expect(
      remarks(results)
        .filter(([setting]) => setting === 20)
        .map(([, code]) => code),
    ).toContain('knock');
    expect(results.checks!.mayCloseDash).toBe(false);
    for (const [i, atHz] of [40, 63, 80, 100].entries())
      for (const setting of [26]) {
        const [found, expected] = [
          lossAt(results, 'front-left', setting, i),
          lossAt(whole, 'front-left', setting, i)!,
        ];
        if (found !== null) expect(Math.abs(found - expected), `${atHz} Hz at ${setting}`).toBeLessThan(0.3);
      }
  });

  test('automatic gain in one take: nothing is claimed from it', () => {
    const results = analysedSpoilt({
      spoil: (recording, index) => {
        if (index !== 3) return;
        for (const channel of recording.channels) applyGain(channel, recording, (t) => 10 ** (-t / 10 / 20));
      },
    });
    expect(remarks(results)).toContainEqual([26, 'gain changed within the take']);
    expect(lossAt(results, 'front-left', 26)).toBeNull();
    expect(verdicts(results)).not.toContain('falls with volume');
    expect(results.checks!.missing.map(({ settings }) => settings)).toEqual([[26], [26]]);
  });

  test('files exchanged against their settings are told by the levels', () => {
    const results = analysedSpoilt({
      session: (input) => ({
        ...input,
        recordings: input.recordings!.map((entry, i, all) => {
          const other = all[i === 1 ? 3 : i === 3 ? 1 : i];
          return typeof entry === 'string' || typeof other === 'string'
            ? entry
            : { ...entry, file: other.file };
        }),
      }),
    });
    expect(remarks(results).map(([, code]) => code)).toContain('settings exchanged');
    expect(results.checks!.mayCloseDash).toBe(false);
  });

  test('both channels swapped throughout: told at every take, and the dash stays open until it is settled', () => {
    const results = analysedSpoilt({
      spoil: (recording) => {
        recording.channels.reverse();
      },
    });
    expect(remarks(results).filter(([, code]) => code === 'channels swapped')).toHaveLength(4);
    expect(results.checks!.reasons).toEqual([
      expect.objectContaining({
        tapIds: ['front-left', 'front-right'],
        settings: [12, 16, 20, 26],
        reason: expect.objectContaining({ code: 'channels swapped', carries: 'right', otherCarries: 'left' }),
      }),
    ]);
    expect(results.checks!.mayCloseDash).toBe(false);
  });
});

describe('too little recorded', () => {
  test('one setting only: low, middle and high are asked for', () => {
    const results = analysedSpoilt({
      scenario: exampleScenario('flat full range', { settings: [20], track: 'response only' }),
    });
    expect(results.checks!.mayCloseDash).toBe(false);
    expect(results.checks!.reasons.map(({ reason }) => reason)).toContainEqual({
      code: 'too few settings',
      count: 1,
    });
  });

  test('pairs recorded one after the other without a common tap: one linking take is asked for', () => {
    const four = exampleScenario('flat full range', {
      settings: [16, 20],
      track: 'response only',
      taps: [
        { id: 'front-left', side: 'left' },
        { id: 'front-right', side: 'right' },
        { id: 'rear-left', side: 'left' },
        { id: 'rear-right', side: 'right' },
      ],
    });
    // The two files stand for two passes at one setting, with the recorder's two inputs moved between them.
    const results = analysedSpoilt({
      scenario: four,
      session: (input) => ({
        ...input,
        settings: [20],
        recordings: [
          { file: 'setting-16.wav', setting: 20, channels: ['front-left', 'front-right', null, null] },
          { file: 'setting-20.wav', setting: 20, channels: [null, null, 'rear-left', 'rear-right'] },
        ],
      }),
    });
    expect(results.checks!.missing).toEqual([]);
    expect(results.checks!.recordNext).toContainEqual({
      tapIds: ['front-left', 'rear-left'],
      settings: [],
      needed: true,
      why: {
        code: 'arrivals do not compare',
        tapIds: ['rear-left', 'rear-right'],
        withTapIds: ['front-left', 'front-right'],
      },
    });
    expect(results.checks!.mayCloseDash).toBe(false);
  });
});

describe('what is in the recordings and not in the radio', () => {
  /** Four lines of 50 Hz hum, or a comb that a worn alternator leaves, well above the noise. */
  const lines = (of: { hz: number; count: number; peak: number }) => (recording: Spoilable) => {
    for (const channel of recording.channels)
      for (let n = 0; n < channel.length; n++)
        for (let k = 1; k <= of.count; k++)
          channel[n] += (of.peak / k) * Math.sin((2 * Math.PI * of.hz * k * n) / recording.sampleRateHz);
  };
  const flat = exampleScenario('flat full range', { settings: [16, 20, 26], track: 'response only' });

  test.each([
    ['mains hum', lines({ hz: 50, count: 8, peak: 1e-3 })],
    ['an alternator comb', lines({ hz: 683, count: 12, peak: 1e-3 })],
    [
      'knocks all over',
      (recording: Spoilable) => {
        for (let at = 2.3; at < 20; at += 3.1)
          for (const channel of recording.channels)
            knock(channel, { ...recording, atSeconds: at, peak: 0.02 });
      },
    ],
  ])('%s: no bass finding, no band limit, no EQ', (_, spoil) => {
    const results = analysedSpoilt({ scenario: flat, spoil });
    for (const verdict of verdicts(results)) expect(['steady', 'cannot be told']).toContain(verdict);
    for (const verdict of bands(results)) expect(['full range', 'cannot be told']).toContain(verdict);
    expect(findingsOf(results.findings, 'band').flatMap(({ fixedEq }) => fixedEq)).toEqual([]);
    for (const kind of ['crossover', 'loudness-contour', 'bass-limiter', 'common-ceiling'] as const)
      expect(findingsOf(results.findings, kind)).toEqual([]);
  });
});

test('the radio used for these tests is what it is said to be', () => {
  expect(FALLING_BASS.settings).toEqual([12, 16, 20, 26]);
  expect(verdicts(whole)).toEqual(['falls with volume', 'falls with volume']);
});
