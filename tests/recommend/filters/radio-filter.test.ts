import { describe, expect, it } from 'vitest';
import type { Amplifier } from '../../../src/model/equipment.ts';
import type { FindingOf } from '../../../src/model/finding.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';
import { filterLossDb, passedBy } from '../../../src/recommend/filters/filter-loss.ts';
import { filterShortfall } from '../../../src/recommend/filters/filter-shortfall.ts';
import { radioFilter } from '../../../src/recommend/filters/radio-filter.ts';
import { secondFilterPrice } from '../../../src/recommend/filters/second-filter-price.ts';
import { supplySystem } from '../../../src/recommend/install/supply-system.ts';
import { quarterTurnReasons, trimReasons } from '../../../src/recommend/seat/seat-reasons.ts';
import { contextOf } from '../chain/context.ts';
import { pair } from '../synthetic.ts';

const sure = (value: number) => measured({ value, plusMinus: 1 });
const UNKNOWN = notMeasurable({ code: 'EQ around the corner' });
type Edge = NonNullable<FindingOf<'band'>['lowEdge']>;
const edge = (cornerHz: number, part: Partial<Edge> = {}): Edge => ({
  minus3Hz: sure(cornerHz),
  minus6Hz: sure(cornerHz),
  slopeDbPerOctave: 24,
  filter: { family: 'linkwitz-riley', order: 4, cornerHz: sure(cornerHz) },
  ...part,
});
const feed = (tapIds: readonly string[], part: object = {}) =>
  ({
    output: 'front',
    side: 'left',
    taps: tapIds.map((tapId) => ({ tapId })),
    programmes: null,
    ...part,
  }) as unknown as Feed;
const contextWith = (left: Partial<FindingOf<'band'>>, right: Partial<FindingOf<'band'>>) => {
  const [one, other] = pair('front');
  return contextOf({
    taps: [
      { ...one, band: left },
      { ...other, band: right },
    ],
  });
};

describe('the filter that the radio has in front of a feed', () => {
  const LEFT = feed(['front left']);
  const BOTH = feed(['front left', 'front right']);
  const high = (left: Edge | null, right: Edge | null = left, feeds: readonly Feed[] = [BOTH]) =>
    radioFilter(contextWith({ lowEdge: left }, { lowEdge: right }), feeds, 'high-pass');

  it('is that of the output that reaches furthest, at either end.', () => {
    expect(high(edge(120), edge(90))).toEqual({
      cornerHz: 90,
      slopeDbPerOctave: 24,
      filter: { family: 'linkwitz-riley', order: 4, cornerHz: sure(90) },
    });
    const low = radioFilter(
      contextWith({ highEdge: edge(3000) }, { highEdge: edge(4000) }),
      [BOTH],
      'low-pass',
    );
    expect(low?.cornerHz).toBe(4000);
  });

  it('is none where one output is open there, or its edge may be the recorder’s.', () => {
    expect(high(edge(120), null)).toBeNull();
    const doubted = { lowEdge: edge(120), lowEdgeMayBeRecorder: true };
    expect(radioFilter(contextWith(doubted, doubted), [BOTH], 'high-pass')).toBeNull();
    expect(radioFilter(contextWith({ lowEdge: edge(9) }, {}), [LEFT], 'low-pass')).toBeNull();
  });

  it('speaks for both sides by the one of which more is known; none where one side is open.', () => {
    const vague = edge(110, { filter: UNKNOWN, slopeDbPerOctave: UNKNOWN });
    const right = feed(['front right']);
    expect(high(vague, edge(120), [LEFT, right])).toMatchObject({ cornerHz: 120 });
    expect(high(vague, vague, [LEFT, right])).toEqual({
      cornerHz: 110,
      slopeDbPerOctave: null,
      filter: null,
    });
    expect(high(edge(120), null, [LEFT, right])).toBeNull();
  });

  it('is read at its −3 dB point, else at −6 dB, else where the curve ends.', () => {
    const vague = { filter: UNKNOWN, slopeDbPerOctave: UNKNOWN, minus3Hz: UNKNOWN };
    expect(high(edge(110, { ...vague, minus6Hz: sure(95) }))?.cornerHz).toBe(95);
    const nothing = edge(110, { ...vague, minus6Hz: UNKNOWN });
    expect(high(nothing)).toBeNull();
    const programmes = { left: { bandHz: [85, 9000] }, both: { bandHz: [80, 9500] } };
    expect(high(nothing, nothing, [feed(['front left'], { programmes })])?.cornerHz).toBe(85);
    const low = { highEdge: nothing };
    expect(
      radioFilter(contextWith(low, low), [feed(['front left'], { programmes })], 'low-pass')?.cornerHz,
    ).toBe(9000);
  });
});

describe('what filters take', () => {
  it('from a tone at the corner is 3.01 dB of a Butterworth and 6.02 dB of a Linkwitz-Riley.', () => {
    const loss = (slopeDbPerOctave: number, toneHz: number, type: 'high-pass' | 'low-pass' = 'high-pass') =>
      filterLossDb({ type, cornerHz: 80, slopeDbPerOctave, toneHz });
    expect(loss(24, 80)).toEqual({ leastDb: expect.closeTo(3.0103, 4), mostDb: expect.closeTo(6.0206, 4) });
    expect(loss(18, 80).mostDb).toBeCloseTo(3.0103, 4);
    // Butterworth of order 4 an octave below: 10 log(1 + 2^8); Linkwitz-Riley 20 log(1 + 2^4).
    expect(loss(24, 40)).toEqual({ leastDb: expect.closeTo(24.0993, 4), mostDb: expect.closeTo(24.609, 3) });
    expect(loss(24, 160, 'low-pass').leastDb).toBeCloseTo(24.0993, 4);
    expect(loss(24, 160).leastDb).toBeLessThan(0.02);
    expect(loss(2, 80).leastDb).toBeCloseTo(3.0103, 4);
  });

  it('from volts is nothing within 3.1 dB, and all of it beyond.', () => {
    const passed = (toneHz: number) =>
      passedBy({ type: 'high-pass', cornerHz: 80, slopeDbPerOctave: 12 }, toneHz);
    expect(passed(80)).toBe(1);
    expect(passed(40)).toBeCloseTo(1 / Math.sqrt(17), 6);
    expect(passed(78)).toBeLessThan(0.71);
  });

  it('behind the radio’s own adds up, at the corner 3.01 dB for a Butterworth.', () => {
    const radio = {
      cornerHz: 80,
      slopeDbPerOctave: 24,
      filter: { family: 'linkwitz-riley', order: 4 },
    } as const;
    const price = (slopeDbPerOctave: number, atHz = 80) =>
      secondFilterPrice({ radio, type: 'high-pass', second: { cornerHz: 80, slopeDbPerOctave }, atHz })!;
    expect(price(12)).toEqual({
      atHz: 80,
      aloneDb: expect.closeTo(-6.0206, 4),
      withSecondDb: expect.closeTo(-9.0309, 4),
      secondHz: 80,
      secondSlopeDbPerOctave: 12,
    });
    // An octave below, order 2: 10 log(1 + 2^4) = 12.3 dB more; order 8 is the highest, 48.2 dB.
    const more = (slope: number) => price(slope, 40).aloneDb - price(slope, 40).withSecondDb;
    expect(more(12)).toBeCloseTo(12.3045, 3);
    expect(more(1)).toBeCloseTo(6.9897, 3);
    expect(more(48)).toBeCloseTo(48.1649, 3);
    expect(more(96)).toBeCloseTo(48.1649, 3);
    expect(
      secondFilterPrice({
        ...{ type: 'high-pass', second: { cornerHz: 80, slopeDbPerOctave: 12 } },
        atHz: 80,
        radio: { ...radio, filter: null },
      }),
    ).toBeNull();
  });

  it('cannot be set where a part has none, or one that does not reach there.', () => {
    const part = { name: 'A', highPass: { rangeHz: [50, 200] }, lowPass: null } as unknown as Amplifier;
    expect(filterShortfall(undefined, 'high-pass', 80)).toBeNull();
    for (const hz of [50, 200]) expect(filterShortfall(part, 'high-pass', hz)).toBeNull();
    for (const hz of [49, 201])
      expect(filterShortfall(part, 'high-pass', hz)).toEqual({
        code: 'part reaches',
        name: 'A',
        fromHz: 50,
        toHz: 200,
      });
    expect(filterShortfall(part, 'low-pass', 80)).toEqual({
      code: 'part has no such filter',
      name: 'A',
      type: 'low-pass',
    });
  });
});

describe('reasons at the seat', () => {
  it('tell a quarter turn from 60 degrees on: 1.25 dB are lost there, by half the angle’s cosine.', () => {
    const turn = (value: number) => quarterTurnReasons(measured({ value, plusMinus: 1 }), 80);
    expect(turn(59)).toEqual([]);
    expect(turn(121)).toEqual([]);
    expect(turn(60)).toEqual([
      {
        code: 'a quarter turn apart',
        lostDb: expect.closeTo(1.2494, 4),
        seconds: expect.closeTo(60 / 360 / 80, 9),
      },
    ]);
    expect(turn(120)).toEqual(turn(60));
    expect(turn(90)).toMatchObject([{ lostDb: expect.closeTo(3.0103, 4), seconds: 1 / 320 }]);
    expect(quarterTurnReasons(UNKNOWN, 80)).toEqual([]);
  });

  it('trim a subwoofer beyond 3 dB, either way.', () => {
    expect([trimReasons(3, 80), trimReasons(-3, 80)]).toEqual([[], []]);
    expect(trimReasons(-3.1, 80)).toEqual([{ code: 'trim the subwoofer', trimDb: -3.1, cornerHz: 80 }]);
    expect(trimReasons(3.1, 80)).toHaveLength(1);
  });
});

it('a supply of 18 V and more is one of 24 V, twice a 12 V system in all', () => {
  const twelve = { nominalVolts: 12, engineOffVolts: 12.6, engineRunsVolts: 13.2, highestVolts: 15 };
  expect([supplySystem(null), supplySystem(17.9)]).toEqual([twelve, twelve]);
  expect(supplySystem(18)).toEqual({
    nominalVolts: 24,
    engineOffVolts: 25.2,
    engineRunsVolts: 26.4,
    highestVolts: 30,
  });
});
