import { describe, expect, it } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { summaryLines } from '../../src/report/verdicts.ts';
import { expectNear } from '../end-to-end/expect-near.ts';
import { expectTheSameOf, planOf } from './case-answers.ts';
import { solvedCase } from './solved-case.ts';

// What a good installer would do: README.md of this folder; figures by the scenario's own closed forms.
describe('car l: flat at two settings, then a shelf that has fallen to its end', { timeout: 300_000 }, () => {
  it('is told as a cut from between 12 and 20 on, and never as not known', () => {
    // Low shelf of -15 dB at 90 Hz, Q 0.707, at 40 Hz: -14.17 dB (W3C Note "Audio EQ Cookbook", 8 June 2021).
    for (const finding of findingsOf(solvedCase('l').results.findings, 'bass-change')) {
      expect(finding).toMatchObject({
        verdict: 'falls with volume',
        onset: { lastIntact: 12, firstChanged: 20 },
      });
      expectNear(finding.atLeast!.lossDb, 14.17, 0.05);
    }
    expect(summaryLines(solvedCase('l').results)[1]).toMatch(/^\s*Yes: .* between 12 and 20/);
  });

  it('waits with the subwoofer for the one setting that settles how much, and check says so too', () => {
    const [first] = recommendationsOf(planOf('l'), 'record-next');
    expect(first).toMatchObject({ settings: [10], blocks: true });
    const { checks, recommendations } = solvedCase('l').results;
    expect(checks!.mayCloseDash).toBe(false);
    expect(
      checks!.recordNext.filter(({ needed }) => needed).map(({ settings, why }) => [settings, codeOf(why)]),
    ).toEqual([[[10], 'bass cannot be judged yet']]);
    const outputs = recommendationsOf(recommendations, 'amplifier-gain').map(({ output }) => output);
    expect(outputs).toEqual(['front']);
  });

  it('takes what the volume does to the bass for no tone control', () => {
    expect(solvedCase('l').results.checks!.notes.map(({ reason }) => codeOf(reason))).not.toContain(
      'tone off centre',
    );
  });

  it('is told the same by check and by planning it again', () => {
    expectTheSameOf('l');
  });
});
