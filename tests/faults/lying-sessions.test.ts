import { describe, expect, test } from 'vitest';
import type { MeasuredSession } from '../../src/measure/measure-session.ts';
import { readRecording } from '../../src/measure/read-recording.ts';
import { measureRecorder } from '../../src/measure/recorder/measure-recorder.ts';
import { codeOf } from '../../src/model/reason.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { drawSystem } from '../accuracy/draw-system.ts';
import { memorySound } from '../memory-sound.ts';
import {
  backwards,
  gain,
  gated,
  labelled,
  lose,
  part,
  type Spoiling,
  sampleAt,
  silent,
  stretch,
} from './lies.ts';
import { type Lie, lyingSession } from './lying-session.ts';
import { ALL, at, LIES, quick } from './session-lies.ts';

/** What only the full track shows. */
const full = lyingSession({ settings: [26] });

/** All that is more than a note: "setting: code". */
function said({ facts, remarks }: MeasuredSession): string[] {
  const all = facts.flatMap(({ setting }, t) =>
    remarks[t].filter(({ weight }) => weight !== 'note').map(({ reason }) => `${setting}: ${codeOf(reason)}`),
  );
  return [...new Set(all)].sort();
}

const doubted = ({ doubts }: MeasuredSession): number[] =>
  [...new Set(doubts.flatMap(({ settings }) => settings ?? []))].sort((a, b) => a - b);

describe('a session that lies', () => {
  test.each(LIES)('%s', (_, lie, expected, settings) => {
    const measured = quick.told(lie);
    expect.soft(said(measured)).toEqual([...expected].sort());
    expect.soft(doubted(measured)).toEqual(settings);
  });

  /** Files that are refused, with the cause that is named; what they were to say is doubted as not read. */
  test.each<readonly [string, Spoiling, RegExp]>([
    ['1 % too fast', stretch(1.01), /runs fast by a factor of 1\.010: .*resampled or stretched/],
    ['3 % too slow', stretch(0.97), /runs slow by a factor of 1\.031: .*resampled or stretched/],
    ['labelled 44.1 kHz', labelled(44_100), /runs slow by a factor of 1\.088: .*another sample rate/],
    ['labelled 96 kHz', labelled(96_000), /runs fast by a factor of 2\.000: .*another sample rate/],
    ['labelled 32 kHz', labelled(32_000), /runs slow by a factor of 1\.500: .*another sample rate/],
    ['stopped before the closing sweeps', part(0, 15.3), /broken off at/],
    ['0.2 s lost', lose(9600, 15.3), /broken off at/],
    ['silent', silent, /nothing was connected, or the radio was muted/],
    ['played backwards', backwards, /another file was played/],
  ])('%s: refused with its cause, and not a take that said no', (_, spoil, cause) => {
    const measured = quick.told(at(32, spoil));
    const [note] = measured.notes;
    expect(note.leftOut).toBe(true);
    expect(reasonText(note.reason)).toMatch(cause);
    expect(measured.doubts).toEqual([
      {
        kind: 'take',
        reason: { code: 'listed and not read', settings: [32] },
        tapIds: ['front-left', 'front-right'],
        settings: [32],
      },
    ]);
  });

  test.each<readonly [string, Spoiling, readonly string[]]>([
    ['nothing', () => {}, []],
    [
      'the 55 Hz ladder 3 dB lower',
      gain(-3, { from: 21.6, to: 28.5 }),
      ['26: tone does not follow the sweeps'],
    ],
    ['the 997 Hz ladder 3 dB lower', gain(-3, { from: 28.4, to: 31.35 }), ['26: gain follows the level']],
    ['the low sweep 3 dB lower', gain(-3, { from: 15.8, to: 21.3 }), ['26: tone does not follow the sweeps']],
    ['gated', gated(0.02), ['26: silent to the last bit']],
    ['100 samples lost in a ladder', lose(100, 25), ['26: samples lost or added']],
    // So few that a difference of the clocks explains the sweeps: their phases tell.
    ...[1, 3, 20, 50].map(
      (count) =>
        [`${count} lost in a ladder`, lose(count, 25), ['26: samples lost or added']] as [
          string,
          Spoiling,
          string[],
        ],
    ),
    ['200 samples lost in the low sweep', lose(200, 18), ['26: samples lost or added']],
    ['0.05 s lost between the sweeps', lose(2400, 9), ['26: samples lost or added']],
  ])('the full track, %s', (_, spoil, expected) => {
    expect(said(full.told(at(26, spoil)))).toEqual(expected);
  });
});

test('a clock that swings by 8 ppm lost no sample', () => {
  const simulation = simulate(drawSystem(250_018).scenario);
  const recordings = [...simulation.recordings()];
  const session = resolveSession(simulation.session, { folderFiles: recordings.map(({ file }) => file) });
  const [{ file, sampleRateHz, channels }] = recordings;
  const sound = memorySound({ name: file, sampleRateHz, channels });
  const recorder = measureRecorder({ session, open: () => sound });
  const recording = session.recordings.find((one) => one.file === file)!;
  const [facts] = readRecording({ recording, session, sound, recorder }).facts;
  expect(facts.missingSections).toEqual([]);
  expect(facts.timeSlip).toBeUndefined();
});

/** Settings of which some finding states a figure: rows with a setting that hold something measured. */
function statedSettings(value: unknown): number[] {
  if (Array.isArray(value)) return value.flatMap(statedSettings);
  if (typeof value !== 'object' || value === null) return [];
  const inside = Object.entries(value).flatMap(([key, one]) => (key === 'doubts' ? [] : statedSettings(one)));
  return 'setting' in value &&
    typeof value.setting === 'number' &&
    JSON.stringify(value).includes('plusMinus')
    ? [value.setting, ...inside]
    : inside;
}

describe('what is doubted, no answer claims', () => {
  test.each<readonly [string, Lie, readonly number[]]>([
    ['two settings exchanged', { exchange: { 20: 26, 26: 20 } }, [20, 26]],
    ['100 samples lost', at(26, lose(100, 16.1)), [26]],
    ['one full-scale sample in a sweep', at(26, sampleAt(5, 1)), [26]],
  ])('%s: no figure is stated of these settings, and the dash stays open', (_, lie, doubtedSettings) => {
    const { findings, check } = quick.checked(lie);
    const stated = new Set(statedSettings(findings));
    for (const setting of doubtedSettings) expect(stated.has(setting), `setting ${setting}`).toBe(false);
    expect(check.mayCloseDash).toBe(false);
  });

  test('of a good session figures are stated at every setting', () => {
    const { findings } = quick.checked({});
    expect([...new Set(statedSettings(findings))].sort((a, b) => a - b)).toEqual(ALL);
  });

  test('the loudest take was not read: what is known holds up to the one below, and it is asked for', () => {
    const { check } = quick.checked(at(32, part(0, 12)));
    expect(check.recordNext).toContainEqual(
      expect.objectContaining({
        settings: [32],
        why: { code: 'take not read', files: ['setting-32.wav'] },
        needed: true,
      }),
    );
    expect(check.mayCloseDash).toBe(false);
  });
});
