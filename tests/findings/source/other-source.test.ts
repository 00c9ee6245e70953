import { describe, expect, it } from 'vitest';
import { peakingSections } from '../../../src/dsp/filter-prototype.ts';
import { findOtherSources, type OwnSource } from '../../../src/findings/source/other-source.ts';
import type { MeasuredSource } from '../../../src/measure/other-sources.ts';
import type { TakeFacts } from '../../../src/model/check.ts';
import type { Doubt } from '../../../src/model/doubt.ts';
import type { Finding } from '../../../src/model/finding.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import { channelFacts, takeFacts } from '../../measure/facts.ts';
import { type Filter, measurementsOf, pass, type Radio, sessionOf, shelf, tapOf } from '../synthetic.ts';

const TAPS = [tapOf({ id: 'front-left' }), tapOf({ id: 'rear-left', position: 'rear' })];
const RADIO: Radio = { gainDb: (setting) => setting - 40, snrDb: 80 };
const measured = (of: {
  gainDb?: (setting: number) => number;
  filters?: readonly Filter[];
  settings?: readonly number[];
  tapId?: string;
  clipDb?: number;
}): TapMeasurement[] => {
  const { gainDb = RADIO.gainDb, filters = [], settings = [20, 24], tapId = 'front-left', clipDb } = of;
  const clip = clipDb === undefined ? undefined : { driveDbFs: () => clipDb, beforeFilters: true };
  return measurementsOf({ radio: { ...RADIO, gainDb, filters: () => filters, clip }, settings, tapId });
};
const routing = (tapId: string, carries = 'left') =>
  ({ kind: 'routing', tapIds: [tapId], carries }) as unknown as Finding;
const own = (of: Partial<OwnSource> = {}): OwnSource => ({
  source: 'stick',
  measurements: measured({}),
  facts: [],
  doubts: [],
  findings: [routing('front-left'), routing('rear-left')],
  ...of,
});
const other = (
  measurements: readonly TapMeasurement[],
  of: { facts?: readonly TakeFacts[]; doubts?: readonly Doubt[] } = {},
) =>
  ({
    source: 'wireless',
    session: sessionOf(TAPS),
    measured: { measurements, facts: of.facts ?? [], doubts: of.doubts ?? [], remarks: [], notes: [] },
  }) as unknown as MeasuredSource;
const compared = (mine: OwnSource, theirs: MeasuredSource) => findOtherSources(mine, [theirs])[0];
const onlyMiddle = (one: TapMeasurement): TapMeasurement => ({
  ...one,
  ladders: one.ladders.filter(({ toneHz }) => toneHz === 997),
});
const quieter = (db: number) => (setting: number) => setting - 40 - db;

describe('another source held against the session’s own', () => {
  it('has its level at the same settings, louder positive, and whose takes it rests on.', () => {
    const found = compared(own(), other(measured({ gainDb: quieter(7), settings: [24, 30] })));
    expect(found).toMatchObject({
      id: 'other-source:wireless',
      source: 'wireless',
      comparedWith: 'stick',
      tapIds: ['front-left'],
      settings: [24],
      levelDb: { value: expect.closeTo(-7, 2) },
      tone: null,
      ceilingHz: null,
      movesDb: null,
      clip: null,
    });
    expect(found.evidence).toHaveLength(2);
  });

  it('is as uncertain as its settings and outputs differ; the median counts.', () => {
    const level = (...db: number[]) => {
      const settings = db.map((_, i) => 20 + i);
      const gainDb = (setting: number) => setting - 40 + db[settings.indexOf(setting)];
      const mine = own({ measurements: measured({ settings }) });
      return compared(mine, other(measured({ gainDb, settings }))).levelDb as unknown as {
        value: number;
        plusMinus: number;
      };
    };
    expect(level(-7, -6, -2)).toMatchObject({
      value: expect.closeTo(-6, 2),
      plusMinus: expect.closeTo(4, 2),
    });
    expect(level(-7, -6).value).toBeCloseTo(-6.5, 2);
    expect(level(-7, -6, -5, -1).value).toBeCloseTo(-5.5, 2);
    expect(level(-7).plusMinus).toBeLessThan(0.1);
  });

  it('is not compared without a take beside it, at a doubted take, or on an output that carries nothing.', () => {
    const apart = compared(own(), other(measured({ settings: [30, 31] })));
    expect(apart.levelDb).toEqual({ notMeasurable: { code: 'no take beside it', settings: [30, 31] } });
    expect(apart).toMatchObject({ tapIds: ['front-left'], settings: [], tone: null, movesDb: null });
    expect(apart.evidence).toHaveLength(2);
    const nothing = own({ findings: [routing('front-left', 'nothing')] });
    expect(compared(nothing, other(measured({}))).levelDb).toHaveProperty('notMeasurable');
    expect(compared(own({ findings: [] }), other(measured({}))).levelDb).toHaveProperty('notMeasurable');
    const doubt = (code: 'nothing on this channel' | 'gain follows the level'): Doubt =>
      ({ kind: 'take', reason: { code }, tapIds: ['front-left'], settings: null }) as Doubt;
    expect(
      compared(own({ doubts: [doubt('nothing on this channel')] }), other(measured({}))).levelDb,
    ).toEqual({ notMeasurable: { code: 'no take beside it', settings: [20, 24] } });
    const theirs = (code: Parameters<typeof doubt>[0]) =>
      compared(own(), other(measured({}), { doubts: [doubt(code)] })).levelDb;
    expect(theirs('nothing on this channel')).toEqual({
      notMeasurable: { code: 'nothing on this channel' },
    });
    // What a source does by itself is the answer.
    expect(theirs('gain follows the level')).toHaveProperty('value');
  });

  it('has another tone from 1 dB on, where it differs most beside the level.', () => {
    const tone = (gainDb: number, level = 0) =>
      compared(own(), other(measured({ gainDb: quieter(level), filters: [shelf(80, gainDb)] }))).tone;
    const lifted = tone(6, 5)!;
    expect(lifted.frequencyHz).toBe(40);
    expect(lifted.differsDb).toBeGreaterThan(4);
    expect(tone(-6)!.differsDb).toBeLessThan(-4);
    expect([tone(0.9), tone(1.5) === null]).toEqual([null, false]);
    // The level is that of the middle, whatever the bass does; of a subwoofer output that of its band.
    const level = (filters: readonly Filter[], theirs: readonly Filter[] = filters) =>
      compared(
        own({ measurements: measured({ filters }) }),
        other(measured({ gainDb: quieter(5), filters: theirs })),
      ).levelDb as unknown as { value: number };
    expect(level([], [shelf(150, 5)]).value).toBeCloseTo(-5, 1);
    expect(level([pass('low-pass', 80)]).value).toBeCloseTo(-5, 1);
  });

  it('has it told at the frequency where it is: each of nine, and none above what a codec leaves.', () => {
    const at = [40, 63, 100, 160, 250, 4000, 6300, 10_000, 14_000];
    const told = at.map((cornerHz) => {
      const narrow = { sections: peakingSections({ gainDb: 4, q: 6 }), cornerHz };
      const measurements = measured({ filters: [narrow], settings: [20] });
      const mine = own({ measurements: measured({ settings: [20] }) });
      return compared(mine, other(measurements)).tone?.frequencyHz;
    });
    expect(told).toEqual(at);
  });

  it('moves by itself where its level does so by 0.5 dB more than the session’s own at those settings.', () => {
    const facts = (part: Parameters<typeof channelFacts>[0], setting = 20) =>
      takeFacts({
        setting,
        channels: [channelFacts({ gainChangeDb: null, ladderSpreadDb: null, leadInExcessDb: null, ...part })],
      });
    const moves = (theirs: TakeFacts, mine: readonly TakeFacts[] = []) =>
      compared(own({ facts: mine }), other(measured({}), { facts: [theirs] })).movesDb;
    expect(moves(facts({ ladderSpreadDb: 0.51 }))).toBe(0.51);
    expect(moves(facts({ ladderSpreadDb: 0.49 }))).toBeNull();
    expect(moves(facts({ gainChangeDb: { value: -1, plusMinus: 0.3 } }))).toBeCloseTo(0.7, 9);
    expect(moves(facts({ gainChangeDb: { value: 1, plusMinus: 0.6 } }))).toBeNull();
    expect(moves(facts({ leadInExcessDb: -2 }))).toBe(2);
    expect(moves(facts({ leadInExcessDb: 2 }), [facts({ leadInExcessDb: 1.6 })])).toBeNull();
    expect(moves(facts({ leadInExcessDb: 2 }), [facts({ leadInExcessDb: 1.6 }, 30)])).toBe(2);
  });

  it('clips by itself where the radio at that level does not.', () => {
    const found = compared(own(), other(measured({ clipDb: -6 })));
    // 1 % of harmonics lies 0.265 dB past the clip (closed form).
    expect(found.clip).toMatchObject({ setting: 20, driveDbFs: expect.closeTo(-5.73, 1) });
  });

  it('does not where the radio does so there, or at the volts at which it does elsewhere, within 1 dB.', () => {
    const radio = (drive: number, setting: number, levels: readonly [number, number][]) =>
      own({
        findings: [
          routing('front-left'),
          {
            kind: 'clipping',
            tapIds: ['front-left'],
            toneHz: 997,
            perSetting: [{ setting, driveDbFs: { value: drive, plusMinus: 0.1 } }],
          } as unknown as Finding,
          {
            kind: 'volume-law',
            tapIds: ['front-left'],
            levels: levels.map(([at, levelDbFs]) => ({ setting: at, levelDbFs })),
          } as unknown as Finding,
        ],
      });
    const clip = (mine: OwnSource) =>
      compared(mine, other(measured({ clipDb: -6, settings: [20] }).map(onlyMiddle))).clip;
    expect(clip(radio(-5, 20, []))).toBeNull();
    expect(clip(radio(-4.5, 20, []))).not.toBeNull();
    // At 30, 10 dB louder, it clips at -15: that is -5 here.
    const law: [number, number][] = [
      [20, -20],
      [30, -10],
    ];
    expect(clip(radio(-15, 30, law))).toBeNull();
    expect(clip(radio(-14, 30, law))).not.toBeNull();
    // Its level there is not known: nothing is said.
    expect(clip(radio(-1, 30, [[30, -10]]))).toBeNull();
    expect(clip(radio(-1, 30, [[20, -20]]))).toBeNull();
  });
});
