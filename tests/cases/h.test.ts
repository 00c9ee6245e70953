import { describe, expect, it } from 'vitest';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { expectTheSameOf, planOf, sheetText } from './case-answers.ts';
import { solvedCase } from './solved-case.ts';

// What a good installer would do: README.md of this folder; figures by the scenario's own closed forms, V = sqrt(P R).
describe('car h: no bass, no clean setting', { timeout: 300_000 }, () => {
  it('says to turn the player down by 8 dB or take another source, and prints no gain', () => {
    const { chain, recommendations } = solvedCase('h').results;
    expect(chain!.verdict).toBe('not like this');
    expect(chain!.player.driveDbFs).toBeCloseTo(-8, 0);
    expect(chain!.because.map(codeOf)).toEqual(
      expect.arrayContaining(['clips before the volume control', 'no bass at any output']),
    );
    for (const kind of ['converter-level', 'amplifier-gain', 'gain-structure'] as const)
      expect(recommendationsOf(recommendations, kind)).toEqual([]);
    expect(sheetText('h', 'dial-in-sheet.html')).not.toMatch(/\d V RMS|\d\.\d+ V\b/);
    // As the first screen says: nothing is bought before that is settled.
    expect(sheetText('h', 'order-sheet.html')).toContain('Nothing yet');
    expect(sheetText('h', 'order-sheet.html')).not.toMatch(/Order a converter|Main fuse/);
  });
});

describe('car h: little can be done', { timeout: 300_000 }, () => {
  it('has no bass at any output: nothing is planned for a subwoofer, and no cancellation is made of its noise', () => {
    const ofSubwoofer = planOf('h').filter((item) => 'output' in item && item.output === 'subwoofer');
    expect(ofSubwoofer).toEqual([]);
    for (const { programmes } of recommendationsOf(planOf('h'), 'feed'))
      for (const { worstDipDb } of Object.values(programmes!)) expect(worstDipDb).toBeGreaterThan(-0.1);
  });

  it('is told the same by check and by planning it again', () => {
    expectTheSameOf('h');
  });
});
