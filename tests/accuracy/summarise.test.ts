import { describe, expect, test } from 'vitest';
import { judged, type Outcome } from './outcome.ts';
import { summarise } from './summarise.ts';

function outcome(errors: readonly number[], snrDb = 60): Outcome {
  const common = { snrDb, where: 'tap', detail: '' };
  return {
    seed: 1,
    nothingToFind: false,
    unusual: null,
    snrDb,
    seconds: { simulated: 1, analysed: 2 },
    claims: [
      { what: 'limiter', judgement: 'false claim', ...common },
      { what: 'limiter', judgement: 'miss', ...common },
      { what: 'limiter', judgement: 'right silence', ...common },
    ],
    readings: errors.map((error) => ({ what: 'corner', unit: '%', error, plusMinus: 2, ...common })),
    failure: null,
  };
}

describe('the accuracy study counts', () => {
  test('errors without their sign: median, 95th percentile by nearest rank, worst, and how many the uncertainty covers', () => {
    const errors = Array.from({ length: 20 }, (_, i) => (i % 2 === 0 ? -0.1 : 0.1) * (i + 1));
    const [row] = summarise([outcome(errors)], { atGoal: true }).readings;
    expect(row).toMatchObject({ what: 'corner', count: 20 });
    expect(row.median).toBeCloseTo(1, 9);
    expect(row.percentile95).toBeCloseTo(1.9, 9);
    expect(row.worst).toBeCloseTo(2, 9);
    expect(row.covered!.part).toBe(1);
  });

  test('cases below 50 dB apart from the rest', () => {
    const both = [outcome([1], 60), outcome([3], 40)];
    expect(summarise(both, { atGoal: true }).readings[0].worst).toBe(1);
    expect(summarise(both, { atGoal: false }).readings[0].worst).toBe(3);
  });

  test('false claims, misses and silences of each kind of finding', () => {
    const [row] = summarise([outcome([])], { atGoal: true }).claims;
    expect(row).toMatchObject({ falseClaims: 1, misses: 1, absent: 1, present: 1 });
  });

  test.each([
    ['present', true, true, 'right claim'],
    ['present', false, true, 'miss'],
    ['present', false, false, 'rightly withheld'],
    ['absent', true, false, 'false claim'],
    ['absent', null, true, 'wrongly withheld'],
    ['absent', null, false, 'rightly withheld'],
    ['borderline', true, true, 'borderline'],
  ] as const)('truth %s, said %s, answerable %s: %s', (truth, said, answerable, expected) => {
    expect(judged({ truth, said, answerable })).toBe(expected);
  });
});
