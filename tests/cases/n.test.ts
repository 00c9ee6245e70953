import { describe, expect, it } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { expectTheSameOf, feedOf, planOf, sheetText, voltsAt } from './case-answers.ts';
import { solvedCase } from './solved-case.ts';

// What a good installer would do: README.md of this folder; figures by the scenario's own closed forms, V = sqrt(P R).
describe('car n: line-level outputs, one of them for a subwoofer, that clip nowhere', {
  timeout: 300_000,
}, () => {
  it('uses the volume up to 40: every tone is clean, and only 20 Hz at full scale would be louder', () => {
    // Linkwitz-Riley 4 at 100 Hz: 1 / (1 + (f / fc)^4), 0.74 dB less at 55 Hz than at the bottom (closed form).
    const lowerDb = 20 * Math.log10(1 + 0.55 ** 4);
    const subwoofer = findingsOf(solvedCase('n').results.findings, 'clean-settings').find(
      ({ tapIds }) => tapIds[0] === 'subwoofer',
    )!;
    expect(subwoofer).toMatchObject({ highestCleanRecorded: 30, asLoudAsPlayed: { setting: 40 } });
    expect(Math.abs(subwoofer.asLoudAsPlayed!.louderByDb - lowerDb)).toBeLessThan(0.1);
    const [highest] = recommendationsOf(planOf('n'), 'highest-clean-setting');
    expect(highest).toMatchObject({ recorded: 40, firstClippingRecorded: null });
    expect(highest).not.toHaveProperty('notKnown');
    for (const { targets } of recommendationsOf(planOf('n'), 'amplifier-gain'))
      for (const { setting } of targets) expect(setting).toBe(40);
  });

  it('runs all five outputs straight into line inputs: 15.5 V for 60 W into 4 ohm', () => {
    for (const output of ['front', 'rear', 'subwoofer'] as const) {
      const feed = feedOf('n', output);
      expect(feed.direct).toBe(true);
      expect(voltsAt(feed, 'load')).toBeCloseTo(Math.sqrt(60 * 4), 1);
    }
    expect(sheetText('n', 'order-sheet.html')).not.toMatch(/47 ohm|resistor on every|speaker-level inputs/);
  });

  it('is told the same by check and by planning it again', () => {
    expectTheSameOf('n');
  });
});
