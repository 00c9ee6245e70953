import { describe, expect, it } from 'vitest';
import { measured } from '../../../src/model/measured.ts';
import type { HighestClean } from '../../../src/recommend/chain/highest-clean-setting.ts';
import { comparePlans } from '../../../src/recommend/compare-plans.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';
import { confirmingTake } from '../../../src/recommend/record/confirming-take.ts';
import { recordNext } from '../../../src/recommend/record/record-next.ts';
import { contextOf, finding } from '../chain/context.ts';
import { gainDb, pair } from '../synthetic.ts';

/** Recorded at 20 to 35: nothing clips, and 35 is the highest that the session lists. */
const CLEAN = {
  recorded: 35,
  firstClippingRecorded: null,
  computed: null,
  limitingTapId: 'front left',
  restsOn: ['clean'],
} as unknown as HighestClean;
const CLIPS = { ...CLEAN, recorded: 25, firstClippingRecorded: 35, computed: 25.5 };
const next = (
  of: { context?: Parameters<typeof contextOf>[0]; clean?: object; feeds?: readonly object[] } = {},
) =>
  recordNext(contextOf(of.context), {
    feeds: (of.feeds ?? []) as Feed[],
    clean: { ...CLEAN, ...of.clean },
  });

describe('what to record next', () => {
  it('is a louder setting where nothing clips up to the highest.', () => {
    expect(next()).toEqual([
      {
        kind: 'record-next',
        id: 'record-next-1',
        restsOn: ['clean'],
        reasons: [{ code: 'nothing clipped up to', setting: 35 }],
        what: { code: 'record a setting above', setting: 35 },
        tapIds: ['front left'],
        settings: [],
        blocks: false,
      },
    ]);
    expect(next({ clean: { recorded: null } })).toEqual([]);
    expect(next({ clean: { limitingTapId: null } })[0].tapIds).toEqual([]);
    const boosted = next({ clean: { notKnown: { settings: [30, 35], because: 'no tone was as loud' } } });
    expect(boosted[0].reasons).toEqual([{ code: 'most boosted is louder than any tone', setting: 30 }]);
  });

  it('is a setting that noise hides, with less noise.', () => {
    const [item] = next({ clean: { recorded: 25, notKnown: { settings: [30, 35], because: 'noise' } } });
    expect(item).toMatchObject({
      reasons: [{ code: 'noise hides clipping above', setting: 25 }],
      what: { code: 'record a setting again with less noise', setting: 30 },
      settings: [30],
      blocks: false,
    });
  });

  it('is first what the session lists above all that was read: gains wait for it.', () => {
    const [item] = next({ context: { session: { settings: [20, 25, 30, 35, 38, 40] } } });
    expect(item).toMatchObject({
      reasons: [{ code: 'listed and not read', settings: [38, 40] }],
      what: { code: 'record these settings', settings: [38, 40] },
      tapIds: ['front left'],
      settings: [38, 40],
      blocks: true,
    });
  });

  it('is the setting that the law calls clean, between the last clean and the first that clips.', () => {
    const bracket = (computed: number | null) => next({ clean: { ...CLIPS, computed } });
    expect(bracket(29.7)).toMatchObject([
      {
        reasons: [{ code: 'clean by the volume law', setting: 29 }],
        what: { code: 'record a setting to prove it', setting: 29 },
        tapIds: ['front left'],
        settings: [29],
        blocks: false,
        restsOn: ['clean'],
      },
    ]);
    expect([bracket(25.9), bracket(35)]).toEqual([[], []]);
    // The middle of 25 and 35 where the law says nothing.
    expect(bracket(null)).toMatchObject([
      { settings: [30], reasons: [{ code: 'clipping begins between', clean: 25, clips: 35 }] },
    ]);
    expect(bracket(26)).toHaveLength(1);
    expect(next({ clean: { ...CLIPS, computed: 29, limitingTapId: null } })[0].tapIds).toEqual([]);
  });

  it('is where the bass begins to fall, once for the outputs that ask for it.', () => {
    const onset = { lastIntact: 20, firstChanged: 30 };
    const bass = (tapId: string, recordNext: number | null, part: object = {}) =>
      finding({
        kind: 'bass-change',
        tapIds: [tapId],
        plateauSettings: [20],
        reason: null,
        changes: [],
        recordNext,
        onset,
        ...part,
      });
    const of = (...findings: ReturnType<typeof bass>[]) =>
      next({ clean: CLIPS, context: { without: ['bass-change'], findings } });
    expect(of(bass('front left', 25), bass('front right', 25))).toMatchObject([
      {
        restsOn: ['bass-change-front left', 'bass-change-front right'],
        reasons: [{ code: 'bass falls somewhere between', ...onset }],
        what: { code: 'record these settings', settings: [25] },
        tapIds: ['front left', 'front right'],
        settings: [25],
        blocks: false,
      },
    ]);
    expect(of(bass('front left', null))).toEqual([]);
    // Without a plateau nothing is restored until it is recorded.
    expect(of(bass('front left', 25, { plateauSettings: [] }))[0]).toMatchObject({
      reasons: [{ code: 'no three settings agree' }],
      blocks: true,
    });
    const reason = { code: 'one drive only' };
    expect(of(bass('front left', 25, { onset: null, reason }))[0].reasons).toEqual([reason]);
  });

  it('is a loop take or a larger pad where the recorder may be what loses bass or clips.', () => {
    const items = next({
      clean: CLIPS,
      context: {
        findings: [
          finding({ kind: 'band', tapIds: ['front left'], lowEdgeMayBeRecorder: true }),
          finding({ kind: 'clipping', tapIds: ['front left'], perSetting: [], mayBeRecorder: true }),
          {
            ...finding({ kind: 'clipping', tapIds: ['front left'], perSetting: [], mayBeRecorder: true }),
            id: 'two',
          },
        ],
      },
    });
    expect(items).toMatchObject([
      {
        restsOn: ['band-front left'],
        reasons: [{ code: 'recorder may lose the lowest bass' }],
        what: { code: 'record the loop take' },
        tapIds: ['front left'],
        settings: [],
        blocks: false,
      },
      {
        restsOn: ['clipping-front left', 'two'],
        reasons: [{ code: 'recorder’s input may clip' }],
        what: { code: 'record with a larger pad' },
        tapIds: ['front left'],
        settings: [],
        blocks: false,
      },
    ]);
  });

  it('puts first what blocks: volts in question, outputs recorded apart.', () => {
    const question = { code: 'one leg instead of the pair', clipVoltsPeak: 6, leastVolts: 12, mostVolts: 15 };
    const rail = finding({ kind: 'rail', tapIds: ['front left'], verdict: 'half of it', question });
    const unknownTiming = { worstDipDb: -12, recordNext: { code: 'record a linking take' } };
    const items = next({
      context: { findings: [rail] },
      feeds: [
        { unknownTiming: null, taps: [{ tapId: 'front right' }], setting: 20, id: 'other' },
        { unknownTiming, taps: [{ tapId: 'front left' }], setting: 30, id: 'feed' },
      ],
    });
    expect(items.map(({ blocks }) => blocks)).toEqual([true, true, false]);
    expect(items.map(({ id }) => id)).toEqual(['record-next-1', 'record-next-2', 'record-next-3']);
    expect(items[0]).toMatchObject({
      restsOn: ['rail-front left'],
      reasons: [question, { code: 'no volts until settled' }],
      what: { code: 'measure across the pair or correct the pad' },
      tapIds: ['front left'],
      settings: [],
    });
    expect(items[1]).toMatchObject({
      reasons: [{ code: 'recorded one after the other', feedId: 'feed', dipDb: 12 }],
      what: { code: 'record a linking take' },
      tapIds: ['front left'],
      settings: [30],
    });
  });
});

describe('the take that confirms the radio', () => {
  const at100Hz = (db: number) => (hz: number) => gainDb(hz > 50 && hz < 200 ? db : 0);
  const of = (leftDb: number, rightDb: number) => {
    const [left, right] = pair('front');
    const taps = [
      { ...left, response: at100Hz(leftDb) },
      { ...right, response: at100Hz(rightDb) },
    ];
    return confirmingTake(contextOf({ taps }), ['front left', 'front right']);
  };

  it('is of the output that is strongest at 100 Hz, the first of those within 0.5 dB, at half a decibel.', () => {
    expect(of(0, 0)).toMatchObject([
      { kind: 'confirm', id: 'confirm', restsOn: [], tapId: 'front left', toneHz: 100, withinDb: 0.5 },
    ]);
    expect(of(0, 0.4)[0].tapId).toBe('front left');
    expect(of(0, 0.6)[0].tapId).toBe('front right');
    const [{ setting, voltsRms }] = of(0, 6);
    // 8 V at 30, 1 dB a setting; 6 dB more at 100 Hz.
    expect(voltsRms).toMatchObject({ value: expect.closeTo(8 * 10 ** ((setting - 30 + 6) / 20), 3) });
    expect(confirmingTake(contextOf(), [])).toEqual([]);
  });
});

describe('two plans compared', () => {
  const item = (id: string, part: object) =>
    ({ kind: 'filter', id, order: 0, restsOn: [], reasons: [], ...part }) as never;
  const compared = (before: object, after: object) =>
    comparePlans({ before: [item('a', before)], after: [item('a', after)] });
  const changed = (before: object, after: object) => compared(before, after).changes[0]?.fields ?? [];

  it('stay, change by field, come or go.', () => {
    expect(
      comparePlans({
        before: [item('a', { x: 1 }), item('b', { x: 1, y: 2 }), item('c', {})],
        after: [item('d', {}), item('b', { x: 1, y: 3 }), item('a', { x: 1 })],
      }),
    ).toEqual({ stays: ['a'], changes: [{ id: 'b', fields: ['y'] }], added: ['d'], dropped: ['c'] });
  });

  it('count a number from a thousandth on, near nothing from a millionth; order, words and grounds are no settings.', () => {
    expect([changed({ x: 1000 }, { x: 1000.9 }), changed({ x: 1000 }, { x: 1001.1 })]).toEqual([[], ['x']]);
    expect([changed({ x: -1000 }, { x: -1001.1 }), changed({ x: 0 }, { x: 9e-7 })]).toEqual([['x'], []]);
    expect(changed({ x: 0 }, { x: 2e-6 })).toEqual(['x']);
    expect(
      changed({ order: 1, restsOn: ['a'], reasons: ['x'] }, { order: 2, restsOn: [], reasons: [] }),
    ).toEqual([]);
  });

  it('look into lists and objects.', () => {
    expect(changed({ x: [1, { y: 2 }] }, { x: [1, { y: 2.0001 }] })).toEqual([]);
    expect(changed({ x: [1, { y: 2 }] }, { x: [1, { y: 3 }] })).toEqual(['x']);
    expect(changed({ x: [1] }, { x: [1, 2] })).toEqual(['x']);
    expect(changed({ x: null }, { x: { y: 1 } })).toEqual(['x']);
    expect(changed({ x: 'as wired' }, { x: 'inverted' })).toEqual(['x']);
    const volts = (value: number) => ({ x: measured({ value, plusMinus: 0.1 }) });
    expect([changed(volts(4), volts(4)), changed(volts(4), volts(5))]).toEqual([[], ['x']]);
  });
});
