import { describe, expect, it } from 'vitest';
import type { Converter, EquipmentInput } from '../../../src/model/equipment.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import type { Straight } from '../../../src/recommend/chain/solved-feed.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';
import type { Need } from '../../../src/recommend/install/order-need.ts';
import { orderSheet } from '../../../src/recommend/install/order-sheet.ts';
import { turnOnAdvice } from '../../../src/recommend/install/turn-on.ts';
import { contextOf } from '../chain/context.ts';

const NEED: Need = {
  inputs: 2,
  worst: measured({ value: 8, plusMinus: 0.1 }),
  rating: measured({ value: 9, plusMinus: 0.1 }),
  lineLevel: false,
  summing: false,
  delaySeconds: 0,
  trimDb: 0,
  restorationDb: 0,
  restorationKnown: true,
};
const CONVERTER = { inputs: 4, inputLimitVoltsRms: 20, summing: 'none' } as const;
const AMPLIFIER = { feeds: ['front'], ratedWatts: 75 } as const;
const sheet = (
  need: Partial<Need>,
  equipment: EquipmentInput | null = null,
  straight: Straight | null = null,
) =>
  orderSheet(contextOf({ equipment }), {
    need: { ...NEED, ...need, lineLevel: need.lineLevel ?? straight === 'line' },
    straight: new Map(straight === null ? [] : [['front', straight]]),
    pad: null,
    tapIds: ['front left'],
    feeds: [{ output: 'front' } as Feed],
  });

describe('what to buy', () => {
  it('is the least class that does all of it.', () => {
    const classOf = (need: Partial<Need>) => sheet(need).converterClass;
    expect(classOf({})).toBe('gain only');
    expect(classOf({ summing: true })).toBe('summing');
    expect(classOf({ restorationDb: 3 })).toBe('summing with restoration');
    expect(classOf({ restorationKnown: false })).toBe('summing with restoration');
    expect(classOf({ delaySeconds: 1e-4, restorationDb: 3 })).toBe('digital processor');
    expect(classOf({ trimDb: 2 })).toBe('digital processor');
    expect(classOf({ lineLevel: true })).toBe('none');
    expect(classOf({ lineLevel: true, trimDb: 2 })).toBe('digital processor');
  });

  it('is nothing where the part given will do, and says what it lacks where it will not.', () => {
    const lacks = (need: Partial<Need>, converter: Partial<Converter> = {}) =>
      sheet(need, { converter: { ...CONVERTER, ...converter } } as unknown as EquipmentInput);
    expect(lacks({})).toMatchObject({ nothingToOrder: true, given: { shortfalls: [] } });
    const codes = (...of: Parameters<typeof lacks>) => lacks(...of).given!.shortfalls.map(codeOf);
    expect(codes({ inputs: 4 })).toEqual([]);
    expect(codes({ inputs: 5 })).toEqual(['too few inputs']);
    expect(codes({ summing: true })).toEqual(['cannot add']);
    expect(codes({ summing: true }, { summing: 'pairs' })).toEqual([]);
    expect(codes({ delaySeconds: 1e-4 })).toEqual(['cannot delay']);
    expect(codes({ delaySeconds: 1e-4 }, { maximumDelaySeconds: 0.01 })).toEqual([]);
    // Two per cent too short is long enough.
    expect(codes({ delaySeconds: 1e-3 }, { maximumDelaySeconds: 0.981e-3 })).toEqual([]);
    expect(lacks({ delaySeconds: 1e-3 }, { maximumDelaySeconds: 0.979e-3 }).given!.shortfalls).toEqual([
      { code: 'delays too little', neededSeconds: 1e-3, hasSeconds: 0.979e-3 },
    ]);
    const restores = { restoration: { kind: 'dynamic', maximumDb: 6 } } as unknown as Partial<Converter>;
    expect(codes({ restorationDb: 6.05 }, restores)).toEqual([]);
    expect(codes({ restorationDb: 6.2 }, restores)).toEqual(['too little restoration']);
    expect(codes({ restorationKnown: false })).toEqual(['loss not known yet']);
    expect(codes({ restorationKnown: false }, restores)).toEqual([]);
    expect(codes({}, { inputLimitVoltsRms: 8.9 })).toEqual(['inputs stand too little']);
    expect(lacks({ inputs: 5 }).nothingToOrder).toBe(false);
  });

  it('says why, once for each thing.', () => {
    const why = (...of: Parameters<typeof sheet>) => sheet(...of).reasons.map(codeOf);
    const amplifiers = { amplifiers: [AMPLIFIER] } as unknown as EquipmentInput;
    expect(why({}, amplifiers)).toEqual(['speaker-level inputs rated for']);
    expect(why({})).toEqual(['speaker-level inputs rated for', 'no amplifiers given']);
    expect(why({ rating: notMeasurable({ code: 'volts not known' }) }, amplifiers)).toEqual([
      'speaker-level inputs if they stand it',
    ]);
    expect(why({ summing: true, trimDb: 2, restorationDb: 3 }, amplifiers)).toEqual([
      'outputs are added',
      'outputs are not equally strong',
      'bass is missing',
    ]);
    expect(why({ delaySeconds: 1e-4 }, amplifiers)).toEqual(['outputs do not arrive together']);
    expect(why({ restorationKnown: false }, amplifiers)).toEqual(['loss not known yet']);
    expect(why({}, amplifiers, 'line')).toEqual(['straight into line inputs']);
    expect(why({}, amplifiers, 'speaker')).toEqual(['straight into speaker-level inputs']);
    expect(why({}, { converter: CONVERTER })).toEqual(['the part given will do']);
  });

  it('keeps a load on speaker-level outputs, and none on line outputs.', () => {
    expect(sheet({})).toMatchObject({
      level: 'speaker',
      load: { code: 'keep a load' },
      inputs: 2,
      restorationDb: 0,
    });
    const mixed = orderSheet(contextOf({}), {
      need: NEED,
      straight: new Map([['subwoofer', 'line']]),
      pad: null,
      tapIds: ['front left'],
      feeds: [{ output: 'front' } as Feed, { output: 'subwoofer' } as Feed],
    });
    expect(mixed).toMatchObject({
      nothingToOrder: false,
      load: { code: 'keep a load at speaker level' },
      straight: [{ output: 'subwoofer', into: 'line' }],
    });
    expect(sheet({ lineLevel: true })).toMatchObject({
      level: 'line',
      load: { code: 'no load at line level' },
    });
  });
});

describe('turn-on', () => {
  // 8 V at 30, 1 dB a setting: 2.53 V at 20, quiet music 20 dB below.
  const turnOn = (rms: number, converter: object = {}) =>
    turnOnAdvice(
      contextOf({
        volts: { at: 20, rms },
        equipment: { converter: { ...CONVERTER, ...converter } } as unknown as EquipmentInput,
      }),
      ['front left', 'front right'],
    );
  const senses = { turnOn: ['signal sense', 'switched line'] };

  it('is by signal where quiet music is twice the threshold: 0.1 V takes 2 V at the quietest setting.', () => {
    expect(turnOn(2.1, senses)).toMatchObject({
      use: 'signal sense',
      quietestSetting: 20,
      quietestVoltsRms: { value: expect.closeTo(0.21, 6), plusMinus: expect.closeTo(0.021, 6) },
    });
    expect(turnOn(1.9, senses)).toMatchObject({
      use: 'switched line',
      reasons: [{ code: 'quiet music may not wake it', setting: 20 }],
    });
    expect(turnOn(0.9, { ...senses, senseThresholdVolts: 0.04 })).toMatchObject({
      use: 'signal sense',
      thresholdVolts: 0.04,
    });
  });

  it('is by what comes out, however little that is: 0.7 V are 0.07 V of quiet music for a threshold of 0.04 V.', () => {
    expect(turnOn(0.7, { ...senses, senseThresholdVolts: 0.04 }).use).toBe('switched line');
    expect(turnOn(0.7, { ...senses, senseThresholdVolts: 0.03 })).toMatchObject({
      use: 'signal sense',
      quietestVoltsRms: { value: expect.closeTo(0.07, 6) },
    });
  });

  it('is by a switched line where the part has nothing else, or the volts are not known.', () => {
    expect(turnOn(5, { turnOn: ['switched line'] })).toMatchObject({
      use: 'switched line',
      reasons: [{ code: 'no signal sense' }],
    });
    const unknown = turnOnAdvice(contextOf({ volts: null }), ['front left']);
    expect(unknown).toMatchObject({ use: 'switched line', reasons: [{ code: 'quiet volts are not known' }] });
    expect(turnOnAdvice(contextOf(), []).quietestVoltsRms).toEqual({
      notMeasurable: { code: 'no tap is in use' },
    });
  });
});
