import { describe, expect, it } from 'vitest';
import { takeDoubts, tapsTouched } from '../../../src/measure/doubts/take-doubts.ts';
import { settingsWithout, unreadSettings } from '../../../src/measure/doubts/unread-settings.ts';
import { followsLevel } from '../../../src/measure/recorder/follows-level.ts';
import type { Remark, TakeFacts } from '../../../src/model/check.ts';
import type { Session } from '../../../src/model/session.ts';
import { sessionOf, tapOf } from '../../findings/synthetic.ts';
import { channelFacts, takeFacts } from '../facts.ts';

const LEFT = channelFacts();
const RIGHT = channelFacts({ tapId: 'front-right', carries: 'right' });
const pairAt = (setting: number | null) =>
  takeFacts({ setting, file: `${setting}.wav`, channels: [LEFT, RIGHT] });
const remark = (code: string, part: Partial<Remark> = {}, figures: object = {}): Remark =>
  ({ weight: 'record again', tapIds: [], reason: { code, ...figures }, ...part }) as unknown as Remark;
const SESSION: Session = {
  ...sessionOf([tapOf(), tapOf({ id: 'front-right', side: 'right' })]),
  settings: [20, 24],
  recordings: [
    { kind: 'takes', file: 'all.wav', channels: ['front-left', 'front-right'], settings: [20, 24] },
  ],
} as unknown as Session;
const doubts = (...takes: [TakeFacts, ...Remark[]][]) =>
  takeDoubts({
    session: SESSION,
    facts: takes.map(([take]) => take),
    remarks: takes.map(([, ...remarks]) => remarks),
  });

describe('what remarks take from the answers', () => {
  const [low, high] = [pairAt(20), pairAt(24)];

  it('is the take, its setting, or the gain of all; nothing where it is left out of what was measured.', () => {
    const kindOf = (code: string, part: Partial<Remark> = {}) =>
      doubts([low, remark(code, part)], [high]).map(({ kind, tapIds, settings }) => [kind, tapIds, settings]);
    const both = ['front-left', 'front-right'];
    expect(kindOf('sections not heard', { tapIds: ['front-left'] })).toEqual([
      ['take', ['front-left'], [20]],
    ]);
    expect(kindOf('differs from an earlier take')).toEqual([['setting', both, [20]]]);
    expect(kindOf('gain follows the level', { tapIds: ['front-left'] })).toEqual([['gain', both, null]]);
    expect(kindOf('little headroom')).toEqual([]);
    expect(kindOf('muted at the start')).toEqual([]);
    expect(kindOf('sections not heard', { weight: 'note' })).toEqual([]);
    expect(doubts([pairAt(null), remark('sections not heard')], [low], [high])).toEqual([]);
  });

  it('touches all channels where volume, supply or clock moved, though one alone shows it.', () => {
    const touched = (code: string) => tapsTouched(remark(code, { tapIds: ['front-left'] }), low);
    expect(touched('samples lost or added')).toEqual(['front-left', 'front-right']);
    expect(touched('gain changed within the take')).toEqual(['front-left', 'front-right']);
    expect(touched('knock')).toEqual(['front-left']);
    expect(tapsTouched(remark('knock'), low)).toEqual(['front-left', 'front-right']);
  });

  it('is one doubt where it is alike at several settings, or several taps.', () => {
    const same = remark('silent to the last bit', { tapIds: ['front-left'] });
    const other = remark('silent to the last bit', { tapIds: ['front-right'] });
    expect(doubts([low, same], [high, same])).toMatchObject([{ tapIds: ['front-left'], settings: [20, 24] }]);
    expect(doubts([low, same, other], [high, same, other])).toMatchObject([
      { tapIds: ['front-left', 'front-right'], settings: [20, 24] },
    ]);
    expect(doubts([low, same], [high, other])).toHaveLength(2);
  });

  it('names the file among the answers.', () => {
    const knock = remark('knock', { tapIds: ['front-left'] }, { atSeconds: 3, section: 'sweep left' });
    expect(doubts([low, knock], [high])[0].reason).toEqual({
      code: 'knock in a sweep',
      file: '20.wav',
      atSeconds: 3,
    });
    const clipped = remark('recorder clipped in a sweep', { tapIds: ['front-left'] }, { times: 2 });
    expect(doubts([low, clipped], [high])[0].reason).toEqual({
      code: 'full-scale samples in a sweep',
      file: '20.wav',
      settings: [20],
    });
  });

  it('exchanged at some settings and not at others leaves those takes in doubt.', () => {
    const swapped = remark('channels swapped', { weight: 'settle', tapIds: ['front-left', 'front-right'] });
    const found = doubts([low, swapped], [high]);
    expect(found).toMatchObject([
      {
        kind: 'take',
        reason: { code: 'outputs exchanged', settings: [20] },
        tapIds: ['front-left', 'front-right'],
        settings: [20],
      },
    ]);
    // At all of them the labels are wrong, and nothing is in doubt.
    expect(doubts([low, swapped], [high, swapped])).toEqual([]);
    const one = remark('carries another side', { weight: 'settle', tapIds: ['front-left'] });
    expect(doubts([low], [high, one])).toMatchObject([{ tapIds: ['front-left'], settings: [24] }]);
  });

  it('adds what was listed and never read.', () => {
    expect(doubts([low])).toEqual([
      {
        kind: 'take',
        reason: { code: 'listed and not read', settings: [24] },
        tapIds: ['front-left', 'front-right'],
        settings: [24],
      },
    ]);
  });
});

describe('settings without a take', () => {
  const session = (...recordings: [string[], number[]][]) =>
    ({
      ...SESSION,
      recordings: recordings.map(([channels, settings]) => ({ kind: 'takes', channels, settings })),
    }) as unknown as Session;

  it('are those of the tap’s own files that no take was read at.', () => {
    const facts = [pairAt(20)];
    expect(unreadSettings({ session: SESSION, facts })).toEqual([
      { tapId: 'front-left', settings: [24] },
      { tapId: 'front-right', settings: [24] },
    ]);
    expect(unreadSettings({ session: SESSION, facts: [pairAt(20), pairAt(24)] })).toEqual([]);
  });

  it('are all of them for a tap in no file; what no file covers was to be on the fullest.', () => {
    const never = () => false;
    expect(settingsWithout(session([['front-left'], [20, 24]]), never)).toEqual([
      { tapId: 'front-left', settings: [20, 24] },
      { tapId: 'front-right', settings: [20, 24] },
    ]);
    const wide = { ...session([['front-left'], [20, 24]], [['front-right'], [20]]), settings: [20, 24, 28] };
    expect(settingsWithout(wide, never)).toEqual([
      { tapId: 'front-left', settings: [20, 24, 28] },
      { tapId: 'front-right', settings: [20] },
    ]);
  });
});

describe('gain that follows the level', () => {
  const follows = (...takes: [number, number | null, (number | null)?][]) =>
    followsLevel(
      takes.map(([setting, spreadDb, leadInExcessDb = null]) => ({ setting, spreadDb, leadInExcessDb })),
    );

  it('differs by more than 3 dB along the ladder from the lowest setting on, and not alike at all.', () => {
    expect(follows([10, 3.1])).toBe(true);
    expect(follows([10, 2.9])).toBe(false);
    expect(follows([10, 4], [20, 4.6])).toBe(true);
    expect(follows([10, 4], [20, 4.4])).toBe(false);
    expect(follows([20, 8], [10, 2.9])).toBe(false);
    expect(follows([20, 2], [10, 8])).toBe(true);
    expect(follows()).toBe(false);
  });

  it('without a ladder lifts lead-ins: by 6 dB, or by 1.5 dB and 2 dB more than at another setting.', () => {
    expect(follows([10, null, 6.1])).toBe(true);
    expect(follows([10, null, 5.9])).toBe(false);
    expect(follows([10, null, 1.6], [20, null, -0.5])).toBe(true);
    expect(follows([10, null, 1.6], [20, null, -0.3])).toBe(false);
    expect(follows([10, null, 1.4], [20, null, -3])).toBe(false);
    expect(follows([10, 0.1, 9])).toBe(false);
  });
});
