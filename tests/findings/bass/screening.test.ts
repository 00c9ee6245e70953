import { describe, expect, it } from 'vitest';
import { screening } from '../../../src/findings/bass/screening.ts';
import { screeningLines } from '../../../src/report/wording/screening-words.ts';

const HZ = [40, 63];
/** Bass against the middle at three settings, the same at both frequencies but for the lower falling twice as fast. */
const takes = (levels: readonly (number | null)[], sigma = 0.1) =>
  levels.map((value, i) => ({
    setting: 10 + 12 * i,
    relative: HZ.map((_, f) => (value === null ? null : { value: value / (f + 1), sigma })),
  }));

describe('screening by phone', () => {
  it('says yes where the bass falls from the middle setting on, from where, and by how much at the worst.', () => {
    expect(screening(takes([0, -0.5, -8]), HZ)).toEqual({
      answer: 'yes',
      between: [22, 34],
      atHz: 40,
      lostDb: 8,
      settings: [10, 34],
    });
  });

  it('says no where it keeps up.', () => {
    expect(screening(takes([0, -1, -1.5]), HZ)).toMatchObject({ answer: 'no', settings: [10, 34] });
  });

  it('does not call a lift at low volume a cut: it falls once, from the lowest setting.', () => {
    expect(screening(takes([6, 0, 0]), HZ)).toMatchObject({ answer: 'either', between: [10, 22] });
  });

  it('says yes where it falls from the lowest setting and goes on falling.', () => {
    expect(screening(takes([0, -4, -9]), HZ)).toMatchObject({ answer: 'yes', between: [10, 22], lostDb: 9 });
  });

  it.each([
    ['one take', takes([0]), 'one setting'],
    ['a take without bass', takes([null, 0, -8]), 'no bass heard'],
    ['bass that rises', takes([0, 3, 6]), 'bass rises'],
  ] as const)('cannot tell from %s.', (_, given, why) => {
    expect(screening(given, HZ)).toEqual({ answer: 'cannot tell', why });
  });

  it('claims nothing of what noise alone could have made.', () => {
    expect(screening(takes([0, -1, -5], 2), HZ)).toEqual({ answer: 'cannot tell', why: 'too noisy' });
  });

  it('sees 2 dB, or what three standard deviations of two takes leave room for, and no less.', () => {
    const answer = (lost: number, sigma = 0.1) => screening(takes([0, 0, -lost], sigma), HZ).answer;
    expect([answer(1.9), answer(2.1)]).toEqual(['no', 'yes']);
    // 3 sqrt(2) 0.6 dB are 2.55 dB.
    expect([answer(2.5, 0.6), answer(2.6, 0.6)]).toEqual(['no', 'yes']);
    expect(screening(takes([0, 0, 0], 0.6), HZ)).toMatchObject({ withinDb: expect.closeTo(2.5456, 4) });
    // Room for more than 4 dB is no answer: sigma 0.943.
    expect(screening(takes([0, 0, 0], 0.94), HZ).answer).toBe('no');
    expect(screening(takes([0, 0, 0], 0.945), HZ)).toEqual({ answer: 'cannot tell', why: 'too noisy' });
    expect(screening(takes([0, 1.9, 1.9]), HZ).answer).toBe('no');
    expect(screening(takes([0, 2.1, 2.1]), HZ)).toEqual({ answer: 'cannot tell', why: 'bass rises' });
  });

  it('begins where it first falls by as much, or with the largest step where it creeps.', () => {
    const of = (...levels: number[]) => screening(takes(levels), HZ);
    expect(of(0, -1, -2.6, -3.5)).toMatchObject({ answer: 'yes', between: [22, 34], lostDb: 3.5 });
    expect(of(0, -1.6, -2.6, -3.5)).toMatchObject({ answer: 'either', between: [10, 22] });
    expect(of(0, -3, -4, -7)).toMatchObject({ answer: 'yes', between: [10, 22] });
    expect(of(0, -3, -4, -5)).toMatchObject({ answer: 'either', between: [10, 22] });
  });

  it('is worded with its figures.', () => {
    expect(screeningLines(screening(takes([0, -0.5, -8]), HZ))[0]).toBe(
      'Does bass go with the volume? Yes, from between 22 and 34: at 34 it has lost 8 dB at 40 Hz against 10.',
    );
  });
});
