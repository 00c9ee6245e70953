import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { atMost, clopperPearson } from './confidence.ts';

const file = join(import.meta.dirname, '..', 'references', 'clopper-pearson.json');
const cases: { hits: number; count: number; interval: [number, number]; atMost: number }[] = JSON.parse(
  readFileSync(file, 'utf8'),
);

describe('confidence of a rate', () => {
  test.each(cases)(
    '$hits of $count: interval and upper bound as scipy’s beta distribution gives them',
    (one) => {
      clopperPearson(one).forEach((end, i) => {
        expect(end).toBeCloseTo(one.interval[i], 9);
      });
      expect(atMost(one)).toBeCloseTo(one.atMost, 9);
    },
  );

  test('with no hit the upper bound is the rule of three (Hanley and Lippman-Hand, JAMA 249, 1983)', () => {
    for (const count of [50, 167, 500]) expect(atMost({ hits: 0, count }) / (3 / count)).toBeCloseTo(1, 1);
  });
});
