import { describe, expect, it } from 'vitest';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { expectTheSameOf, planOf, wordsOf } from './case-answers.ts';

// What a good installer would do: README.md of this folder; figures by the scenario's own closed forms, V = sqrt(P R).
describe('car c: one output inverted and late, bass cut above mid volume', { timeout: 300_000 }, () => {
  it('bass falls by at least 17.4 dB between 10 and 32; the plan holds up to 24', () => {
    const [restoration] = recommendationsOf(planOf('c'), 'restoration');
    expect(restoration.loss).toMatchObject({ atLeast: true, atHz: 40, betweenSettings: [10, 32] });
    expect(restoration.loss!.db).toBeCloseTo(17.4, 1);
    expect(restoration).toMatchObject({ holdsUpToSetting: 24, toSetting: 24, limitedBy: '12 dB' });
    expect(restoration.shelf?.gainDb ?? 0).toBeLessThanOrEqual(12.5);
    const words = wordsOf('c', ['restoration']);
    expect(words).toContain('between settings 10 and 32 the bass falls by at least 17.4 dB at 40 Hz');
    expect(words).toContain('Stay at 24 or below');
    expect(words).not.toContain('cannot be told');
  });

  it('front right: its two wires are swapped, and all others wait 0.9 ms', () => {
    const feed = recommendationsOf(planOf('c'), 'feed').find(
      ({ output, side }) => output === 'front' && side === 'right',
    )!;
    expect(feed.connections).toMatchObject([{ tapId: 'front-right', cross: true, lookAtCone: true }]);
    expect(wordsOf('c', ['feed'])).toContain('Cross front-right: plus to');
    const [delay] = recommendationsOf(planOf('c'), 'delay');
    expect(delay.by).toBe('to order');
    for (const { output, side, delaySeconds } of delay.feeds)
      expect(Math.abs(delaySeconds - (output === 'front' && side === 'right' ? 0 : 9e-4))).toBeLessThan(1e-5);
  });

  it('is told the same by check and by planning it again', () => {
    expectTheSameOf('c');
  });
});
