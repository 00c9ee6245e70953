import { describe, expect, it } from 'vitest';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { makePlan } from '../../../src/recommend/plan.ts';
import { phaseDegrees, seatAdvice } from '../../../src/recommend/seat/seat-takes.ts';
import { contextOf } from '../chain/context.ts';
import { FULL_RANGE, pair, planInput } from '../synthetic.ts';

const HZ = [50, 63, 80, 100, 125];
const dB = (ratio: number) => 20 * Math.log10(ratio);
/** |S + M| of two sounds an angle apart, and |S - M| (law of cosines). */
const sumDb = (sub: number, mains: number, degrees: number, sign = 1) => {
  const [s, m] = [10 ** (sub / 20), 10 ** (mains / 20)];
  return dB(Math.sqrt(s * s + m * m + sign * 2 * s * m * Math.cos((degrees * Math.PI) / 180)));
};
function advice(of: {
  sub?: number;
  degrees: number;
  inverted?: boolean;
  invertedOffDb?: number;
  hz?: number[];
}) {
  const { sub = 0, degrees, inverted = false, invertedOffDb = 0, hz = HZ } = of;
  const seat = {
    frequencyHz: hz,
    subwooferDb: hz.map(() => sub),
    mainsDb: hz.map(() => 0),
    bothDb: hz.map(() => sumDb(sub, 0, degrees)),
    ...(inverted && { bothSubwooferInvertedDb: hz.map(() => sumDb(sub, 0, degrees, -1) + invertedOffDb) }),
  };
  return seatAdvice(contextOf({ equipment: { seat } as unknown as EquipmentInput }), 80)[0];
}
const codes = (...of: Parameters<typeof advice>) => advice(...of).reasons.map(codeOf);

describe('two sounds at the seat', () => {
  it.each([0, 60, 90, 120, 180])('are %d degrees apart by the law of cosines.', (degrees) => {
    const found = phaseDegrees({ subwooferDb: -3, mainsDb: 0, bothDb: sumDb(-3, 0, degrees) });
    expect(found).toMatchObject({ value: expect.closeTo(degrees, 3) });
  });

  it('are told as surely as a take repeats: half a decibel of a sum at 90 degrees is 6.6 degrees.', () => {
    const found = phaseDegrees({ subwooferDb: 0, mainsDb: 0, bothDb: sumDb(0, 0, 90) });
    // cos p = (10^(0.05) 2 - 2) / 2 (closed form).
    const most = 90 - (Math.acos(10 ** 0.05 - 1) * 180) / Math.PI;
    expect(found).toMatchObject({ plusMinus: expect.closeTo(most, 2) });
  });

  it('are not told where one is 10 dB louder, or the sum is louder than both can make.', () => {
    const why = (subwooferDb: number, bothDb: number) => {
      const found = phaseDegrees({ subwooferDb, mainsDb: 0, bothDb });
      return 'notMeasurable' in found ? codeOf(found.notMeasurable) : null;
    };
    expect(why(10.1, 10)).toBe('too unequal for a phase');
    expect(why(9.9, 10)).toBeNull();
    // A cosine of 1.25 is 6.53 dB for two alike.
    expect(why(0, 6.4)).toBeNull();
    expect(why(0, 6.6)).toBe('something changed between the takes');
  });
});

describe('the polarity of the subwoofer', () => {
  it('is the fuller one, measured or predicted from the other three (parallelogram law).', () => {
    expect(advice({ degrees: 40 })).toMatchObject({
      polarity: 'as wired',
      handOverHz: 50,
      levelSubwooferAgainstMainsDb: 0,
    });
    expect(advice({ degrees: 140 }).polarity).toBe('inverted');
    const predicted = advice({ degrees: 120 }).gainFromInvertingDb!;
    expect(predicted).toBeCloseTo(sumDb(0, 0, 120, -1) - sumDb(0, 0, 120), 6);
    expect(advice({ degrees: 120, inverted: true }).gainFromInvertingDb).toBeCloseTo(predicted, 6);
  });

  it('makes no difference within a decibel, and cannot be told where they do not meet.', () => {
    // 20 log10 of tan(p / 2): a decibel is 6.6 degrees off 90.
    expect(advice({ degrees: 96 }).polarity).toBe('no difference');
    expect(advice({ degrees: 98 }).polarity).toBe('inverted');
    expect(advice({ degrees: 84 }).polarity).toBe('no difference');
    expect(advice({ degrees: 40, sub: 11 })).toMatchObject({
      polarity: 'cannot be told',
      gainFromInvertingDb: null,
    });
  });

  it('is looked for around the corner, where there is anything.', () => {
    expect(advice({ degrees: 40, hz: [20, 30, 90, 300] }).handOverHz).toBe(90);
    expect(advice({ degrees: 40, hz: [20, 30, 300] }).handOverHz).toBe(20);
    expect(advice({ degrees: 40, hz: [20, 30, 131] }).handOverHz).toBe(20);
  });
});

it('two alike in phase leave a full null where one is turned: 60 dB under both powers, and 6 dB gained as wired', () => {
  expect(advice({ degrees: 0 }).gainFromInvertingDb).toBeCloseTo(-60 + 10 * Math.log10(2) - 6.0206, 2);
});

describe('a subwoofer that the seat wants turned', () => {
  it('starts inverted in the chain, whatever the filters say; as wired where the seat says so.', () => {
    const startWith = (degrees: number) => {
      const seat = {
        frequencyHz: HZ,
        subwooferDb: HZ.map(() => 0),
        mainsDb: HZ.map(() => 0),
        bothDb: HZ.map(() => sumDb(0, 0, degrees)),
      };
      const equipment = {
        seat,
        amplifiers: [{ name: 'all', feeds: ['front', 'subwoofer'], ratedWatts: 75 }],
      } as unknown as EquipmentInput;
      const taps = pair('front', { band: FULL_RANGE });
      const { chain } = makePlan(
        planInput({ taps, settings: [20, 30], volts: { at: 30, rms: 6 }, equipment }),
      );
      return chain.feeds.find(({ output }) => output === 'subwoofer')?.startWith;
    };
    // 150 degrees apart 6.5 dB are lost as wired; turned round they are 30 degrees apart.
    expect([startWith(150), startWith(30)]).toEqual(['inverted', 'as wired']);
  });
});

describe('the level of the subwoofer', () => {
  it('is held against the mains’ where both were turned up, and trimmed by a third of an octave around the corner.', () => {
    const hz = [50, 63, 72, 80, 89, 100, 125];
    const seat = {
      frequencyHz: hz,
      subwooferDb: hz.map((one) => (one > 70 && one < 90 ? 16 : 30)),
      mainsDb: hz.map(() => 20),
      bothDb: hz.map(() => 22),
    };
    const [found] = seatAdvice(contextOf({ equipment: { seat } as unknown as EquipmentInput }), 80);
    expect(found).toMatchObject({
      handOverHz: 72,
      levelSubwooferAgainstMainsDb: -4,
      trimDb: expect.closeTo(4, 6),
    });
  });

  it('is trimmed by what it differs from the mains at the corner.', () => {
    expect(advice({ degrees: 40, sub: 4 }).trimDb).toBeCloseTo(-4, 6);
    expect(advice({ degrees: 40, sub: -4 }).trimDb).toBeCloseTo(4, 6);
    expect(advice({ degrees: 40 })).not.toHaveProperty('trimDb');
  });
});

describe('takes that contradict each other', () => {
  it('do where the four levels do not obey the parallelogram law within a decibel.', () => {
    expect(codes({ degrees: 90, inverted: true })).not.toContain('takes do not fit together');
    // At 90 degrees both sums are alike: 2.2 dB on one of them are 1.24 dB of their powers.
    expect(codes({ degrees: 90, inverted: true, invertedOffDb: 2.2 })).toContain('takes do not fit together');
    expect(codes({ degrees: 90, inverted: true, invertedOffDb: 1.5 })).not.toContain(
      'takes do not fit together',
    );
  });

  it('are no advice where there are none.', () => {
    expect(seatAdvice(contextOf(), 80)).toEqual([]);
  });
});
