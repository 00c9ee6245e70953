import { describe, expect, test } from 'vitest';
import { balanceToSettle, sessionNotes } from '../../src/check/session-notes.ts';
import type { Finding, FindingOf, LineOrigin } from '../../src/model/finding.ts';
import { asWritten, codeOf } from '../../src/model/reason.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { SessionInput } from '../../src/model/session-input.ts';
import { statementText } from '../../src/words/statement-text.ts';

const CALIBRATION = { kind: 'pad', padRatio: 11, fullScaleVoltsRms: 1.4 } as const;
const notes = (findings: readonly Finding[], input: SessionInput = {}) =>
  sessionNotes({
    session: resolveSession(
      { settings: [10], taps: ['front-left', 'front-right'], calibration: CALIBRATION, ...input },
      { folderFiles: ['10.wav'] },
    ),
    measurements: [],
    findings,
  }).map((note) => statementText(note));

function noise(changes: Partial<FindingOf<'noise'>>): FindingOf<'noise'> {
  return {
    kind: 'noise',
    id: 'noise',
    tapIds: ['front-left'],
    evidence: [],
    perSetting: [],
    lines: [],
    mainsHz: null,
    mutesInSilence: false,
    limitedBy: 'not told',
    ...changes,
  };
}
const origin = (kind: LineOrigin['origin'], atVolumeZero: boolean): LineOrigin => ({
  origin: kind,
  moves: true,
  atVolumeZero,
  combs: [
    { engine: 'idle', fundamentalHz: 27.2, perRevolution: 2, lines: [] },
    { engine: 'fast', fundamentalHz: 83.4, perRevolution: 2, lines: [] },
  ],
});

describe('what is to be looked at in the car', () => {
  test('nothing where nothing stands out', () => {
    expect(notes([])).toEqual([]);
  });

  test('tones that follow the engine at volume zero: noise cancelling or engine sound', () => {
    expect(notes([noise({ origins: [origin('engine sound', true)] })])).toEqual([
      'front-left: tones that follow the engine (27 Hz with the engine idle, 83 Hz with the engine fast) at volume zero: cabin noise cancelling or engine sound from the speakers. Settle it by the maker’s information before you add a subwoofer',
    ]);
    expect(notes([noise({ origins: [origin('alternator', false)] })])).toEqual([
      expect.stringMatching(/^front-left: alternator whine/),
    ]);
    expect(notes([noise({ origins: [origin('mains', false)] })])).toEqual([]);
  });

  test('a balance off centre is to be settled from 3 dB on, unless the notes say where it stood', () => {
    const law = (tapId: string, levelDbFs: number) =>
      ({
        kind: 'volume-law',
        id: `law ${tapId}`,
        tapIds: [tapId],
        evidence: [],
        followsVolume: true,
        levels: [{ setting: 10, levelDbFs }],
      }) as unknown as Finding;
    const session = (input: SessionInput) =>
      resolveSession(
        {
          settings: [10],
          taps: [
            { id: 'left', side: 'left', position: 'front' },
            { id: 'right', side: 'right', position: 'front' },
          ],
          ...input,
        },
        { folderFiles: ['10.wav'] },
      );
    const said = (rightDb: number, input: SessionInput = {}) => {
      const of = {
        session: session(input),
        measurements: [],
        findings: [law('left', -20), law('right', rightDb)],
      };
      return [...balanceToSettle(of), ...sessionNotes(of)].map(({ tapIds, reason }) => [
        tapIds,
        codeOf(reason),
      ]);
    };
    const uncalibrated = [[], 'no calibration'];
    expect(said(-25)).toEqual([[['left'], 'balance off centre'], uncalibrated]);
    expect(said(-15)).toEqual([[['right'], 'balance off centre'], uncalibrated]);
    expect(said(-22.9)).toEqual([[['left'], 'one side louder'], uncalibrated]);
    expect(said(-25, { controls: { balance: 0 } })).toEqual([[['left'], 'one side louder'], uncalibrated]);
  });

  test('outputs that mute in silence', () => {
    expect(notes([noise({ mutesInSilence: true })])).toEqual([
      'front-left: mutes in silence; noise is read under the quiet tone',
    ]);
  });

  test('a rail that is low, but not so low that volts are withheld', () => {
    const rail: FindingOf<'rail'> = {
      kind: 'rail',
      id: 'rail',
      tapIds: ['front-left'],
      evidence: [],
      clipVoltsPeak: { value: 8, plusMinus: 0.2 },
      expectedVoltsPeak: [12.4, 13.4],
      verdict: 'far below',
      question: asWritten('does a limiter stop it?'),
    };
    expect(notes([rail])).toEqual(['front-left: does a limiter stop it?']);
    // Outputs that are told with the same volts are asked about once.
    const like = (value: number) => ({
      ...rail,
      tapIds: ['front-right'],
      clipVoltsPeak: { value, plusMinus: 0.2 },
    });
    expect(notes([rail, like(8.03)])).toEqual(['front-left, front-right: does a limiter stop it?']);
    expect(notes([rail, like(8.3)])).toHaveLength(2);
    // What withholds volts is a reason against closing the dash instead.
    expect(notes([{ ...rail, verdict: 'half of it' }])).toEqual([]);
  });

  test('one channel at a time: arrivals do not compare, and what to record to know', () => {
    const recordings = [
      { file: 'left.wav', setting: 10, channels: ['front-left'] },
      { file: 'right.wav', setting: 10, channels: ['front-right'] },
    ];
    expect(notes([], { recordings })).toEqual([
      expect.stringMatching(
        /^front-left, front-right: one channel at a time: .*best and a worst case. To know, record two outputs together/,
      ),
    ]);
  });

  test('no calibration: what to note or record to have volts', () => {
    expect(notes([], { calibration: 'none' })).toEqual([
      expect.stringMatching(/^no calibration, so no volts: note the pad/),
    ]);
  });
});
