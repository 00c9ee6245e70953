import { describe, expect, it } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { asWritten } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import type { Results } from '../../src/model/results.ts';
import { plainText } from '../../src/report/sentence.ts';
import { summaryLines, verdicts } from '../../src/report/verdicts.ts';
import { verdictLines } from '../../src/report/wording/verdict/verdict-lines.ts';
import { exampleNotKnown, exampleResults } from './example-results.ts';

const results = exampleResults();
const NO_CHECKS = {
  takes: [],
  files: [],
  missing: [],
  recordNext: [],
  notes: [],
  mayCloseDash: true,
  reasons: [],
  soFar: [],
};

describe('the verdicts', () => {
  it("answer the installer's three questions in order, and then what stands in the way", () => {
    expect(verdicts(results).map(({ question }) => question)).toEqual([
      'Does the radio cut the bass?',
      'What comes out where, and what do you sum?',
      'How loud may it go, and what are the gains?',
      'What comes first?',
    ]);
  });

  it('name taps, the bracket of the beginning and the loss', () => {
    expect(answersTo(results, 0)[0]).toBe(
      'Yes: on door left, door right, rear left and rear right the radio starts cutting bass at about 20, between 18 and 22. By 38 it takes 8.33 ± 0.06 dB at 40 Hz and 3.20 ± 0.06 dB at 80 Hz, on door left.',
    );
  });

  it('name the output that loses most, where they differ', () => {
    const [first, second, ...others] = findingsOf(results.findings, 'bass-change').filter(
      ({ verdict }) => verdict === 'falls with volume',
    );
    const twice = second.changes.map((row) => ({
      ...row,
      changeDb: row.changeDb.map((one) => (isNotMeasurable(one) ? one : { ...one, value: 2 * one.value })),
    }));
    const findings = [first, { ...second, changes: twice }, ...others];
    expect(answersTo({ ...results, findings }, 0)[0]).toMatch(/it takes up to .*, on door right\.$/);
  });

  it('say on the first screen of which outputs the bass is not known beside those where it stays', () => {
    const [first, ...others] = findingsOf(results.findings, 'bass-change').filter(
      ({ verdict }) => verdict === 'falls with volume',
    );
    const steady = others.map((one) => ({ ...one, verdict: 'steady' as const, onset: null }));
    const open = { ...first, verdict: 'cannot be told' as const, reason: asWritten('noise hides it') };
    const lineOf = (findings: Results['findings']) => {
      const [{ name, sentence, known }] = verdictLines({ ...results, findings }, (id) => id);
      return [name, plainText(sentence), known];
    };
    expect(lineOf(steady)).toEqual(['Bass', 'The radio does not cut it.', true]);
    const [, said, known] = lineOf([open, ...steady]);
    expect(said).toMatch(/^The radio does not cut it on .*rear\. Not known on door-l: noise hides it\.$/);
    expect(known).toBe(false);
  });

  it('say of a converter that falls short that it does, and of one that restores too little that it gives no more', () => {
    const [order] = recommendationsOf(results.recommendations, 'order');
    const [restoration] = recommendationsOf(results.recommendations, 'restoration');
    const short = { code: 'too little restoration', neededDb: 12, hasDb: 9 } as const;
    const said = (shortfalls: (typeof short)[], limitedBy: 'nothing' | 'the converter') => {
      const recommendations = [
        { ...order, nothingToOrder: false, given: { name: 'a converter', shortfalls } },
        { ...restoration, verdict: 'restore' as const, amountDb: 9, toSetting: 30, limitedBy },
      ];
      const lines = verdictLines({ ...results, recommendations }, (id) => id);
      return ['Bass', 'Order'].map((name) => plainText(lines.find((line) => line.name === name)!.sentence));
    };
    const [bass, ordered] = said([short], 'the converter');
    expect(bass).toMatch(/restore 9 dB at 30, the most that your converter gives\.$/);
    expect(ordered).toMatch(/^Converter with .*; yours falls short\.$/);
    const [all, other] = said([], 'nothing');
    expect(all).toMatch(/restore 9 dB at 30\.$/);
    expect(other).not.toContain('yours');
    // One boost at every setting is no "restore 9 dB at 30".
    const fixed = { ...restoration, verdict: 'restore' as const, amountDb: 6, sameAtEverySetting: true };
    const [line] = verdictLines({ ...results, recommendations: [fixed] }, (id) => id);
    expect(plainText(line.sentence)).toMatch(/gives one boost at every setting: 6 dB, half of it\.$/);
  });

  it('name the outputs of a take once', () => {
    const [item] = recommendationsOf(results.recommendations, 'record-next');
    const together = { code: 'record taps together' as const, tapIds: ['rear-l', 'rear-r'], setting: 16 };
    const next = { ...item, what: together, tapIds: ['rear-l', 'rear-r'], blocks: true };
    const lines = verdictLines({ ...results, recommendations: [next] }, (id) => id);
    expect(plainText(lines.at(-1)!.sentence)).toBe(
      'Record rear-l and rear-r together in one file, at setting 16.',
    );
  });

  it('ask for the tone control before a take that only narrows something down, not before one that gains wait for', () => {
    const [item] = recommendationsOf(results.recommendations, 'record-next');
    const note = {
      tapIds: [],
      settings: [],
      reason: { code: 'tone off centre', end: 'bass', db: 6.1, lift: true },
    };
    const firstOf = (blocks: boolean) => {
      const checks = { ...NO_CHECKS, notes: [note] } as unknown as Results['checks'];
      const lines = verdictLines({ ...results, recommendations: [{ ...item, blocks }], checks }, (id) => id);
      return plainText(lines.at(-1)!.sentence);
    };
    expect(firstOf(false)).toMatch(/^Every full-range output has its bass lifted by 6\.1 dB/);
    expect(firstOf(true)).toMatch(/^Record/);
  });

  it('say how far the volume may go and what each gain is set to', () => {
    const text = answersTo(results, 2).join('\n');
    expect(text).toContain('Clean up to setting 30; setting 34 clips.');
    expect(text).toContain(
      'Amplifier gain: subwoofer: 17.8 V ± 3 %, playing 100 Hz at −5 dBFS, setting 30, restoration off.',
    );
  });

  it('each name what they rest on, and all of that is there', () => {
    const ids = new Set([...results.findings, ...results.recommendations].map(({ id }) => id));
    for (const { answers } of verdicts(results)) {
      for (const { evidenceIds } of answers) {
        expect(evidenceIds.length).toBeGreaterThan(0);
        expect(evidenceIds.every((id) => ids.has(id))).toBe(true);
      }
    }
  });

  // Common practice: a crossover of order 2 is wired with one speaker turned round, and sums so.
  it('tell plus and minus as swapped, but not of an output that a sum takes so beside another', () => {
    const timing = (tapId: string) => ({
      ...findingsOf(results.findings, 'timing')[0],
      tapId,
      polarity: 'inverted' as const,
    });
    const feed = recommendationsOf(results.recommendations, 'feed').find(({ summed }) => summed)!;
    const [dash, door] = feed.taps.map(({ tapId }) => tapId);
    const said = (inverted: string[]) =>
      answersTo(
        {
          ...results,
          findings: inverted.map(timing),
          recommendations: [
            { ...feed, taps: feed.taps.map((tap) => ({ ...tap, polarity: 'as wired' as const })) },
          ],
        },
        1,
      ).join('\n');
    expect(said([door])).toContain('as the crossover wants it. Leave the wires.');
    expect(said([door])).not.toContain('swapped');
    // Both of them: the whole sum is turned round.
    expect(said([dash, door])).toMatch(/Plus and minus swapped: .* and /);
    expect(said([dash, door])).not.toContain('Leave the wires');
    expect(said(['rear-r'])).toContain('Plus and minus swapped');
  });

  it('tell a surround channel as one: no swapped sides, no swapped wires', () => {
    const [timing] = findingsOf(results.findings, 'timing');
    const routing = {
      kind: 'routing' as const,
      id: 'routing:rear-r',
      evidence: timing.evidence,
      leftDb: 0,
      rightDb: 0,
      tapIds: ['rear-r'],
    };
    const said = (carries: 'difference' | 'right') =>
      verdicts({
        ...results,
        findings: [
          { ...routing, carries, agreesWithSession: carries === 'difference' },
          { ...timing, tapId: 'rear-r', polarity: 'inverted' },
        ],
        recommendations: [],
      })
        .flatMap(({ answers }) => answers.map(({ sentence }) => plainText(sentence)))
        .join('\n');
    expect(said('difference')).toContain('left less right, as a surround channel plays it');
    expect(said('difference')).not.toContain('swapped');
    expect(said('right')).toContain('Check for swapped channels');
    expect(said('right')).toContain('Plus and minus swapped');
  });

  it('tell an output whose phase nothing explains, once however many outputs are held against it', () => {
    const [timing] = findingsOf(results.findings, 'timing');
    const turned = (tapId: string) => ({
      ...timing,
      id: `timing:${tapId}`,
      tapId,
      polarity: 'ambiguous' as const,
      reason: { code: 'phase follows no filter and delay' as const, tapId: 'door-l' },
    });
    const findings = [turned('door-r'), turned('rear-r')];
    const said = answersTo({ ...results, findings, recommendations: [] }, 1);
    expect(said).toEqual([
      'Door left: no filter and no delay explain its phase. If it is an all-pass, left and right together may sound thin.',
    ]);
  });

  it('say that a tweeter’s output carries no bass, and not that it is not known', () => {
    const [change] = findingsOf(results.findings, 'bass-change');
    const dash = {
      ...change,
      verdict: 'cannot be told' as const,
      reason: { code: 'no bass to judge' as const },
    };
    const text = answersTo(
      { ...results, findings: [{ ...dash, onset: null, shape: null }], recommendations: [] },
      0,
    );
    expect(text.join('\n')).toMatch(/carries no bass\.$/);
    expect(text.join('\n')).not.toContain('Not known');
  });

  it('never claim a loss on a steady radio or for a loudness contour', () => {
    const [change] = findingsOf(results.findings, 'bass-change');
    const findings: Results['findings'] = [
      { ...change, verdict: 'steady', onset: null, shape: null, recordNext: null },
      {
        id: 'contour',
        tapIds: ['rear-l'],
        evidence: [],
        kind: 'loudness-contour',
        changes: [],
        upToSetting: 14,
      },
    ];
    const text = answersTo({ ...results, findings, recommendations: [] }, 0).join('\n');
    expect(text).toContain('the bass stays as you turn it up');
    expect(text).toContain('not a loss');
    expect(text).not.toContain('Yes');
  });

  it('say what cannot be told as answers of their own, with the reason', () => {
    const [bass, bands, level] = verdicts(exampleNotKnown());
    expect(bass.answers.map(({ known }) => known)).toEqual([false]);
    expect(plainText(bass.answers[0].sentence)).toContain(
      'because no three settings agree within half a decibel',
    );
    expect(bands.answers.map(({ known }) => known)).toEqual([false]);
    expect(level.answers.map(({ known }) => known)).toEqual([false]);
  });

  it('give outputs with different reasons an answer each', () => {
    const notKnown = exampleNotKnown();
    const [change] = findingsOf(notKnown.findings, 'bass-change');
    const [tapId, other] = notKnown.session.taps.map(({ id }) => id);
    const unlike = { ...change, id: 'bass-change:other', tapIds: [other], reason: asWritten('it rained') };
    const findings = notKnown.findings.filter(({ kind }) => kind !== 'bass-change');
    const both = { ...notKnown, findings: [...findings, { ...change, tapIds: [tapId] }, unlike] };
    const said = answersTo(both, 0).filter((sentence) =>
      sentence.includes('whether the radio cuts the bass'),
    );
    expect(said).toHaveLength(2);
    expect(said[1]).toContain('it rained');
  });

  it('advise no summing where no feed is summed', () => {
    const recommendations = results.recommendations.map((item) =>
      item.kind === 'feed' ? { ...item, summed: false, taps: item.taps.slice(0, 1) } : item,
    );
    expect(answersTo({ ...results, recommendations }, 1).at(-1)).toBe('Sum nothing.');
  });

  it('become lines for a terminal, questions flush and answers below them', () => {
    const lines = summaryLines(results);
    expect(lines[0]).toBe('Does the radio cut the bass?');
    expect(lines[1]).toMatch(/^ {2}Yes: /);
    expect(lines.every((line) => !line.includes('\n'))).toBe(true);
  });
});

function answersTo(some: Results, question: number): string[] {
  return verdicts(some)[question].answers.map(({ sentence }) => plainText(sentence));
}
