import { describe, expect, it } from 'vitest';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { summaryLines } from '../../src/report/verdicts.ts';
import { expectTheSameOf, feedOf, sheetText } from './case-answers.ts';
import { solvedCase } from './solved-case.ts';

// What a good installer would do: README.md of this folder; figures by the scenario's own closed forms, V = sqrt(P R).
describe('car e: a limiter that holds the bass at 1.5 V', { timeout: 300_000 }, () => {
  it('says what it leaves: 3.9 V, 4 W of 75 W, from about setting 12 up', () => {
    const held = feedOf('e', 'subwoofer').conditions.find(
      (one) => codeOf(one) === 'bass held by the limiter',
    );
    if (held === undefined || typeof held === 'string' || held.code !== 'bass held by the limiter')
      throw new Error('not said');
    // 1.5 V of 6.6 V, 4 V of line for 6.6 V, 17.3 V for 4 V: 3.94 V, 3.9 W; 12.9 dB below 6.6 V is 12.9 steps below 25.
    expect(held.thresholdVolts!).toBeCloseTo(1.5, 1);
    expect(held.outputVolts!).toBeCloseTo(((1.5 * 4) / 6.6) * (Math.sqrt(75 * 4) / 4), 0);
    expect(held.watts!).toBeCloseTo(3.9, 0);
    expect(held.fromSetting!).toBeCloseTo(25 - 20 * Math.log10(6.6 / 1.5), 0);
  });

  it('sets the subwoofer with 55 Hz below the threshold, never with 997 Hz', () => {
    const gains = recommendationsOf(solvedCase('e').results.recommendations, 'amplifier-gain');
    const setBy = gains.find(({ output }) => output === 'subwoofer')!.targets.find((target) => target.setBy)!;
    expect(setBy.toneHz).toBe(55);
    const atOutput = 6.6 * 10 ** ((setBy.setting - 25 + setBy.driveDbFs) / 20);
    expect(atOutput).toBeLessThan(1.5);
    expect(sheetText('e', 'dial-in-sheet.html')).toContain('meter-55hz');
  });

  it('never says No alone to whether the radio cuts the bass', () => {
    const [, first] = summaryLines(solvedCase('e').results);
    expect(first).toMatch(/^\s*Only where it plays loud: on .* quiet bass stays/);
  });

  it('orders inputs for what the clipped output gives at the highest supply, not for what it would give unclipped', () => {
    const [order] = recommendationsOf(solvedCase('e').results.recommendations, 'order');
    // A square wave of 10.6 V, recorded at 12.5 V, rises to 12.7 V at 15 V; nothing clipped, 40 would give 37 V.
    const rating = order.inputRatingVoltsRms as { value: number };
    expect(rating.value).toBeGreaterThan((10.6 * 15) / 12.5);
    expect(rating.value).toBeLessThan(1.2 * ((10.6 * 15) / 12.5));
  });

  it('is told the same by check and by planning it again', () => {
    expectTheSameOf('e');
  });
});
