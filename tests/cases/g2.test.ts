import { describe, expect, it } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { expectTheSameOf, planOf } from './case-answers.ts';
import { solvedCase } from './solved-case.ts';

// What a good installer would do: README.md of this folder; figures by the scenario's own closed forms, V = sqrt(P R).
describe('car g2: 50 Hz hum common to all four outputs', { timeout: 300_000 }, () => {
  it('says that recorder, charger or ground bring the hum, how to find out, and lets the dash close', () => {
    const { checks } = solvedCase('g2').results;
    expect(checks!.mayCloseDash).toBe(true);
    expect(checks!.recordNext).toEqual([]);
    const said = checks!.notes.map(({ reason }) => reasonText(reason)).join(' ');
    expect(said).toMatch(/50 Hz hum.*recorder, a charger or a ground.*batteries.*inputs shorted/);
    for (const { remarks } of checks!.takes)
      for (const { reason } of remarks) expect(codeOf(reason)).not.toBe('same signal as another output');
  });

  it('calls the bass steady and every output full range, whatever the hum adds at 50, 100 and 150 Hz', () => {
    const { findings } = solvedCase('g2').results;
    expect(findingsOf(findings, 'bass-change').map(({ verdict }) => verdict)).toEqual(
      Array(4).fill('steady'),
    );
    expect(findingsOf(findings, 'band').map(({ verdict }) => verdict)).toEqual(Array(4).fill('full range'));
    expect(recommendationsOf(planOf('g2'), 'feed').map(({ output }) => output)).toContain('subwoofer');
  });

  it('is told the same by check and by planning it again', () => {
    expectTheSameOf('g2');
  });
});
