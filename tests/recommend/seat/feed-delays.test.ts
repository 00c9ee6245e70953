import { describe, expect, it } from 'vitest';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import type { Finding } from '../../../src/model/finding.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import { asWritten } from '../../../src/model/reason.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';
import { type Delay, lagOf } from '../../../src/recommend/seat/feed-delays.ts';
import { contextOf } from '../chain/context.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, pair, planInput } from '../synthetic.ts';

function timing(tapId: string, delaySeconds: number | null): Finding {
  return {
    id: `timing-${tapId}`,
    kind: 'timing',
    tapIds: [tapId, 'front left'],
    evidence: [],
    tapId,
    referenceTapId: 'front left',
    delaySeconds:
      delaySeconds === null
        ? notMeasurable(asWritten('all-pass'))
        : measured({ value: delaySeconds, plusMinus: 1e-6 }),
    polarity: 'same',
    reason: null,
  };
}

const CONVERTER = { inputs: 8, inputLimitVoltsRms: 20, summing: 'any' } as const;

function delayOf(late: Readonly<Record<string, number | null>>, equipment: EquipmentInput) {
  const taps = [...pair('front', { band: FULL_RANGE }), ...pair('rear', { band: FULL_RANGE })];
  const findings = Object.entries(late).map(([tapId, seconds]) => timing(tapId, seconds));
  const plan = recommend(planInput({ taps, settings: [12, 16, 20], volts: null, findings, equipment }));
  const [delay] = recommendationsOf(plan, 'delay');
  const of = (output: string, side: string) =>
    delay?.feeds.find((feed) => feed.output === output && feed.side === side);
  return { plan, delay, of };
}

const mains: EquipmentInput = { amplifiers: [{ feeds: ['front', 'rear'], ratedWatts: 75 }] };
const IN_TIME = { 'rear left': 0, 'rear right': 0 };

// Sound at 20 degrees goes 343 m a second: 1.2 m take 3.5 ms.
it('what is counted in on the way to the ear is the wait of the plan, and the distance where distances are counted', () => {
  const seatDistances = [
    { feeds: 'front', side: 'left', metres: 1.2 },
    { feeds: 'rear', side: 'both', metres: 0.7 },
  ];
  const context = contextOf({ equipment: { ...mains, seatDistances } as unknown as EquipmentInput });
  const delay = (distancesCounted: boolean, by = 'converter') =>
    ({
      by,
      distancesCounted,
      feeds: [{ output: 'front', side: 'left', delaySeconds: 0.002 }],
    }) as unknown as Delay;
  const lag = (of: Delay | null, output: string, side: string) =>
    lagOf(context, of, { output, side } as Feed);
  expect(lag(delay(true), 'front', 'left')).toBeCloseTo(0.002 + 1.2 / 343, 5);
  expect(lag(delay(true), 'rear', 'left')).toBeCloseTo(0.7 / 343, 5);
  expect(lag(delay(true), 'front', 'right')).toBe(0);
  expect(lag(delay(false), 'front', 'left')).toBe(0.002);
  expect(lag(delay(false, 'nothing'), 'front', 'left')).toBe(0);
  expect(lag(null, 'front', 'left')).toBe(0);
});

describe('what is late stays, everything earlier waits for it', () => {
  it('front right 0.9 ms late: all others wait 0.9 ms, in the part that can', () => {
    const converter = { ...CONVERTER, maximumDelaySeconds: 0.01 };
    const { delay, of } = delayOf({ ...IN_TIME, 'front right': 9e-4 }, { ...mains, converter });
    expect(delay).toMatchObject({ by: 'converter', distancesCounted: false, firstNullHz: null });
    expect(of('front', 'right')!.delaySeconds).toBe(0);
    for (const [output, side] of [
      ['front', 'left'],
      ['rear', 'left'],
      ['rear', 'right'],
    ])
      expect(of(output, side)!.delaySeconds).toBeCloseTo(9e-4, 9);
  });

  // Common practice: rears that fill in come 10 to 20 ms behind the front, and nobody holds the front back for them.
  it('the front waits for rears that come 8 ms late, and not for rears that fill in at 12 ms', () => {
    const converter = { ...CONVERTER, maximumDelaySeconds: 0.03 };
    const rears = (seconds: number) => ({ 'rear left': seconds, 'rear right': seconds });
    const near = delayOf({ 'front right': 0, ...rears(8e-3) }, { ...mains, converter });
    expect(near.of('front', 'left')!.delaySeconds).toBeCloseTo(8e-3, 9);
    expect(delayOf({ 'front right': 0, ...rears(12e-3) }, { ...mains, converter }).delay).toBeUndefined();
    const { delay, of } = delayOf({ 'front right': 9e-4, ...rears(12e-3) }, { ...mains, converter });
    expect(delay.reasons).toContainEqual({ code: 'rears fill in late', bySeconds: expect.closeTo(12e-3, 9) });
    expect(of('front', 'left')!.delaySeconds).toBeCloseTo(9e-4, 9);
    for (const side of ['left', 'right']) expect(of('rear', side)!.delaySeconds).toBe(0);
  });

  it('says what to do where the part given cannot delay: other outputs, and no crossover at 1/(2d)', () => {
    const { delay } = delayOf({ ...IN_TIME, 'front right': 9e-4 }, { ...mains, converter: CONVERTER });
    expect(delay.by).toBe('nothing');
    expect(delay.firstNullHz).toBeCloseTo(1 / (2 * 9e-4), 6);
    expect(delay.reasons).toContainEqual({ code: 'use outputs that agree', tapIds: ['rear right'] });
    expect(delay.reasons).toContainEqual({ code: 'nothing here can delay', name: 'converter' });
  });

  it('says how far a part gets whose delay ends too early', () => {
    const converter = { ...CONVERTER, maximumDelaySeconds: 5e-4 };
    const { delay, of } = delayOf({ ...IN_TIME, 'front right': 9e-4 }, { ...mains, converter });
    expect(of('front', 'left')!.delaySeconds).toBeCloseTo(5e-4, 9);
    expect(delay.reasons).toContainEqual({
      code: 'delay ends before it is enough',
      name: 'converter',
      mostSeconds: 5e-4,
    });
  });

  it('says what a part that delays would be set to where none is given, and what helps without', () => {
    const { delay, of } = delayOf({ ...IN_TIME, 'front right': 9e-4 }, mains);
    expect(delay.by).toBe('to order');
    expect(of('front', 'left')!.delaySeconds).toBeCloseTo(9e-4, 9);
    expect(delay.reasons).toContainEqual({ code: 'use outputs that agree', tapIds: ['rear right'] });
    expect(delay.firstNullHz).toBeCloseTo(555.6, 0);
  });

  it('orders the part that the plan needs, and says that the one given is short; 10 cm are not worth one', () => {
    const late = (seconds: number) => ({ ...IN_TIME, 'front right': seconds });
    const orderOf = (seconds: number, equipment: EquipmentInput, tapId = 'front right') => {
      const { plan } = delayOf({ ...IN_TIME, [tapId]: seconds }, equipment);
      return { order: recommendationsOf(plan, 'order')[0], delay: recommendationsOf(plan, 'delay')[0] };
    };
    const toOrder = orderOf(9e-4, mains).order;
    expect(toOrder).toMatchObject({
      delay: true,
      nothingToOrder: false,
      converterClass: 'digital processor',
    });
    expect(toOrder.delaySeconds).toBeCloseTo(9e-4, 9);
    const short = orderOf(9e-4, { ...mains, converter: { ...CONVERTER, maximumDelaySeconds: 5e-4 } }).order;
    expect(short.given!.shortfalls).toContainEqual({
      code: 'delays too little',
      neededSeconds: expect.closeTo(9e-4, 9),
      hasSeconds: 5e-4,
    });
    expect(orderOf(9e-4, { ...mains, converter: CONVERTER }).order.given!.shortfalls).toContainEqual({
      code: 'cannot delay',
    });
    expect(orderOf(2e-4, mains)).toMatchObject({ order: { delay: false }, delay: { by: 'nothing needed' } });
    // Rears may come late: that is what fills in.
    const rears = delayOf({ ...late(0), 'rear left': 2e-3, 'rear right': 2e-3 }, mains);
    expect(recommendationsOf(rears.plan, 'order')[0].delay).toBe(false);
  });

  it('has nothing to say where all come together, or where it is not known', () => {
    expect(delayOf({ ...IN_TIME, 'front right': 0 }, mains).delay).toBeUndefined();
    expect(delayOf({}, mains).delay).toBeUndefined();
  });

  it('leaves out a feed whose time is not known', () => {
    const { delay, of } = delayOf({ ...IN_TIME, 'rear left': null, 'front right': 9e-4 }, mains);
    expect(of('rear', 'left')).toBeUndefined();
    expect(delay.feeds).toHaveLength(3);
  });

  it('counts the distances to the seat in: 34.32 cm are 1 ms (20 degrees C, ISO 9613-1)', () => {
    const seatDistances = [
      { feeds: 'front' as const, side: 'left' as const, metres: 1 },
      { feeds: 'front' as const, side: 'right' as const, metres: 1.3432 },
      { feeds: 'rear' as const, metres: 1.6864 },
    ];
    const { delay, of } = delayOf({ ...IN_TIME, 'front right': 0 }, { ...mains, seatDistances });
    expect(delay.distancesCounted).toBe(true);
    expect(of('front', 'left')!.delaySeconds).toBeCloseTo(2e-3, 9);
    expect(of('front', 'right')!.delaySeconds).toBeCloseTo(1e-3, 9);
    expect(of('rear', 'left')!.delaySeconds).toBeCloseTo(0, 9);
  });
});

describe('levels between the feeds', () => {
  const balanceOf = (equipment: EquipmentInput, more: ReturnType<typeof pair> = []) =>
    recommendationsOf(
      recommend(
        planInput({
          taps: [...pair('front', { band: FULL_RANGE }), ...pair('rear', { band: FULL_RANGE }), ...more],
          settings: [12, 16, 20],
          volts: null,
          equipment,
        }),
      ),
      'balance',
    )[0];

  it('rears start 6 dB lower, late and band-limited, and say whether anything here can delay them', () => {
    const plain = balanceOf(mains);
    expect(plain.levels).toContainEqual({ output: 'rear', againstFrontDb: -6 });
    expect(plain.rearFill).toMatchObject({
      bandHz: [250, 4000],
      delaySeconds: [0.01, 0.02],
      canDelay: false,
    });
    const converter = { ...CONVERTER, maximumDelaySeconds: 0.02 };
    expect(balanceOf({ ...mains, converter }).rearFill!.canDelay).toBe(true);
  });

  it('makes no centre of left and right, and says why', () => {
    const fed: EquipmentInput = { amplifiers: [{ feeds: ['front', 'centre'], ratedWatts: 75 }] };
    expect(balanceOf(fed).centre).toBe('no output of its own');
    expect(balanceOf(fed).reasons).toContainEqual({ code: 'left plus right is no centre' });
    const [centre] = pair('centre', { band: FULL_RANGE });
    expect(balanceOf(fed, [centre]).centre).toBe('own output');
    expect(balanceOf(mains, [centre]).centre).toBe('stays with the radio');
  });
});
