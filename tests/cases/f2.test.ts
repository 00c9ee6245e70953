import { describe, expect, it } from 'vitest';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { SHEETS } from '../../src/report/sheets.ts';
import { expectTheSameOf, feedOf, sheetText } from './case-answers.ts';
import { solvedCase } from './solved-case.ts';

// What a good installer would do: README.md of this folder; figures by the scenario's own closed forms, V = sqrt(P R).
describe('car f2: line-level outputs of 0.9 V', { timeout: 300_000 }, () => {
  it('runs them straight into line inputs, sensitivity at 0.9 V, without a load or a converter', () => {
    const front = feedOf('f2', 'front');
    expect(front.direct).toBe(true);
    const gain = recommendationsOf(solvedCase('f2').results.recommendations, 'amplifier-gain')[0];
    expect(gain.sensitivityVoltsRms).toBeCloseTo(0.9, 2);
    const [order] = recommendationsOf(solvedCase('f2').results.recommendations, 'order');
    expect(order).toMatchObject({ nothingToOrder: true, converterClass: 'none', level: 'line' });
    expect(codeOf(order.load)).toBe('no load at line level');
    for (const { fileName } of SHEETS) {
      const text = sheetText('f2', fileName);
      expect(text).not.toMatch(/47 ohm|47 Ω|resistor on every/);
      expect(text).not.toContain('4.00 V');
      expect(text).not.toContain('speaker-level inputs');
    }
  });

  it('is told the same by check and by planning it again', () => {
    expectTheSameOf('f2');
  });
});
