import { describe, expect, test } from 'vitest';
import { type Check, checkSchema, type Remark } from '../../../src/model/check.ts';
import { asWritten } from '../../../src/model/reason.ts';
import { checkLines } from '../../../src/words/lines/check-lines.ts';

const channel = (tapId: string, number: number) => ({
  tapId,
  channel: number,
  levelDbFs: -12,
  peakDbFs: -3.04,
  clippedRuns: 0,
  clippedFromDriveDbFs: null,
  gainChangeDb: null,
  ladderSpreadDb: null,
  dcOffset: 0,
  noiseDbFs: -80.2,
  carries: 'left' as const,
  sameAsTapId: null,
  mutedUpToHz: null,
  knocks: [],
});
const take = (remarks: Remark[]): Check['takes'][number] => ({
  facts: {
    file: 'a.wav',
    setting: 20,
    takeStartSeconds: 1.25,
    track: 'full',
    missingSections: [],
    clockPpm: { value: 36.96, plusMinus: 0.1 },
    channels: [channel('front-left', 1), channel('front-right', 2)],
  },
  remarks,
});
const note = (tapId: string, text: string): Remark => ({
  weight: 'note',
  tapIds: [tapId],
  reason: asWritten(text),
});
const said = (reason: string) => ({ tapIds: [], settings: [], reason: asWritten(reason) });
const nothing: Check = checkSchema.parse({
  takes: [],
  files: [],
  missing: [],
  recordNext: [],
  mayCloseDash: true,
  reasons: [],
});
const LEVELS =
  'front-left -12.0 dBFS (headroom 3.0 dB, noise -80), front-right -12.0 dBFS (headroom 3.0 dB, noise -80); clock 37.0 ppm.';

describe('the lines of a check', () => {
  test('a take is one line with setting, level, headroom, noise and clock', () => {
    expect(checkLines({ ...nothing, takes: [take([])] })).toEqual([
      `Setting 20 (a.wav at 1.3 s): ${LEVELS} Good.`,
      'You may close the dash: yes.',
    ]);
  });

  test('what is said of two taps alike is said once', () => {
    const remarks = [
      note('front-left', 'too much hiss'),
      note('front-right', 'too much hiss'),
      note('front-right', 'more'),
    ];
    expect(checkLines({ ...nothing, takes: [take(remarks)] })[0]).toBe(
      `Setting 20 (a.wav at 1.3 s): ${LEVELS} front-left, front-right: too much hiss; front-right: more.`,
    );
  });

  test('what is known, what to look at, what to record in one go, and the answer last', () => {
    const next = (settings: number[], why: string, needed = true) => ({
      tapIds: ['front-left'],
      settings,
      why: asWritten(why),
      needed,
    });
    expect(
      checkLines({
        ...nothing,
        soFar: [
          { tapIds: ['front-left', 'front-right'], known: [{ code: 'full range' }, { code: 'bass steady' }] },
        ],
        notes: [said('is fade at centre?')],
        recordNext: [next([30, 16], 'bass'), next([28], 'clipping'), next([14], 'the onset', false)],
        mayCloseDash: false,
        reasons: [
          { tapIds: ['front-left'], settings: [16], reason: { code: 'no usable take' } },
          said('was the pad entered wrong'),
        ],
      }),
    ).toEqual([
      'So far:',
      '  front-left, front-right: full range; bass steady',
      'To look at:',
      '  is fade at centre?',
      'Record next (in one go: 16, 28, 30):',
      '  front-left at 30, 16: bass',
      '  front-left at 28: clipping',
      'If you have time:',
      '  front-left at 14: the onset',
      'You may close the dash: no, front-left at 16: no usable take; was the pad entered wrong.',
    ]);
  });

  test('where the dash may be closed, nothing is said to record next, only what would tell more', () => {
    const recordNext = [
      { tapIds: ['a'], settings: [23], why: asWritten('the bass begins to fall'), needed: false },
    ];
    expect(checkLines({ ...nothing, recordNext })).toEqual([
      'If you have time:',
      '  a at 23: the bass begins to fall',
      'You may close the dash: yes.',
    ]);
  });

  test('a question ends in its own mark', () => {
    const asked = {
      ...nothing,
      mayCloseDash: false,
      reasons: [said('was one leg measured?')],
      takes: [take([note('front-left', 'was the gain left alone?')])],
    };
    expect(checkLines(asked)).toEqual([
      `Setting 20 (a.wav at 1.3 s): ${LEVELS} front-left: was the gain left alone?`,
      'You may close the dash: no, was one leg measured?',
    ]);
  });

  test('results of before these lines existed are read as having none', () => {
    expect([nothing.soFar, nothing.notes]).toEqual([[], []]);
  });
});
