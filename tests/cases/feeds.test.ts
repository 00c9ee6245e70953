import { describe, expect, it } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { codeOf } from '../../src/model/reason.ts';
import { type Recommendation, recommendationsOf } from '../../src/model/recommendation.ts';
import { plainText } from '../../src/report/sentence.ts';
import { recommendationWords } from '../../src/report/wording/recommendation-words.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { type CaseName, solvedCase } from './solved-case.ts';

function planOf(name: CaseName): readonly Recommendation[] {
  return solvedCase(name).results.recommendations;
}

/** Everything that is said of some kinds of advice. */
function wordsOf(name: CaseName, kinds: readonly Recommendation['kind'][]): string {
  return planOf(name)
    .filter(({ kind }) => kinds.includes(kind))
    .map((item) => {
      const { statements, step } = recommendationWords(item, (tapId) => tapId);
      const step_ = step === null ? [] : [step.setTo, step.check];
      const said = [...statements.map(({ sentence }) => sentence), ...step_].map(plainText);
      return [...said, ...item.reasons.map(reasonText)].join('\n');
    })
    .join('\n');
}

// What a good installer would do: README.md of this folder; figures by the scenarios' own closed forms.
describe('car b: factory amplifier and factory subwoofer', { timeout: 300_000 }, () => {
  it('sums dash and door as they are, flat from 1 kHz', () => {
    for (const side of ['left', 'right'] as const) {
      const feed = recommendationsOf(planOf('b'), 'feed').find(
        (one) => one.output === 'front' && one.side === side,
      )!;
      expect(feed.taps.map(({ tapId }) => tapId)).toEqual([`dash-${side}`, `door-${side}`]);
      for (const tap of feed.taps)
        expect(tap).toMatchObject({ polarity: 'as wired', trimDb: 0, delaySeconds: 0 });
      const { frequencyHz } = solvedCase('b').results;
      const above = feed.sumDb!.filter((_, i) => frequencyHz[i] >= 1000 && frequencyHz[i] <= 15_000);
      expect(Math.max(...above) - Math.min(...above)).toBeLessThan(0.3);
    }
  });

  it('leaves doors and subwoofer open where the radio filters, with the price of a second filter', () => {
    const filters = recommendationsOf(planOf('b'), 'filter');
    const of = (output: string, type: string) =>
      filters.find((one) => one.output === output && one.type === type)!;
    expect(of('front', 'high-pass')).toMatchObject({ state: 'open', slopeDbPerOctave: 12 });
    expect(of('front', 'high-pass').cornerHz).toBeCloseTo(90, 0);
    expect(of('front', 'high-pass').price!.aloneDb).toBeCloseTo(-4.2, 1);
    expect(of('front', 'high-pass').price!.withSecondDb).toBeCloseTo(-5.7, 1);
    expect(of('subwoofer', 'low-pass')).toMatchObject({ state: 'open', slopeDbPerOctave: 24 });
    expect(of('subwoofer', 'low-pass').cornerHz).toBeCloseTo(85, 0);
    expect(of('subwoofer', 'low-pass').price!.aloneDb).toBeCloseTo(-5.0, 1);
    expect(of('subwoofer', 'low-pass').price!.withSecondDb).toBeCloseTo(-10.2, 1);
    expect(of('rear', 'high-pass').state).toBe('open');
    expect(of('subwoofer', 'low-pass').handOver).toMatchObject({ basis: 'radio and filters' });
    const words = wordsOf('b', ['filter']);
    for (const part of ['open', '−4.2 dB to −5.7 dB', '−5.0 dB to −10.2 dB']) expect(words).toContain(part);
    expect(words).not.toMatch(/Set the (high|low)-pass of the (front|rear|subwoofer) to (72|80)/);
  });

  it('feeds the subwoofer from its own output and restores it from its own settings', () => {
    const sub = recommendationsOf(planOf('b'), 'feed').find(({ output }) => output === 'subwoofer')!;
    expect(sub.taps.map(({ tapId }) => tapId)).toEqual(['subwoofer']);
    const [restoration] = recommendationsOf(planOf('b'), 'restoration');
    expect(restoration).toMatchObject({ verdict: 'restore', fromSetting: 18, toSetting: 26 });
    // The shelf of -7 dB at 80 Hz at setting 26, and of -10 dB at 30: 9.3 dB at 40 Hz.
    expect(restoration.shelf!.gainDb).toBeCloseTo(7, 0);
    expect(restoration.shelf!.frequencyHz / 80).toBeCloseTo(1, 1);
    expect(restoration.loss!.db).toBeCloseTo(9.3, 1);
    expect(wordsOf('b', ['restoration'])).not.toContain('cannot be told');
    const [law] = recommendationsOf(planOf('b'), 'subwoofer-law');
    expect(law.verdict).toBe('keeps with the mains');
  });

  it('protects the tweeters behind the sum, at no less than the radio’s 3.5 kHz', () => {
    const [item] = recommendationsOf(planOf('b'), 'protection');
    expect(item).toMatchObject({ answer: 'ask', tapIds: ['dash-left', 'dash-right'] });
    expect(item.radioHighPass.cornerHz / 3500).toBeCloseTo(1, 2);
    expect(item.highPass.notBelowHz).toBeGreaterThanOrEqual(3499);
    expect(item.highPass.gainToneHz).toBeGreaterThanOrEqual(3000);
  });

  it('delays the doors by 4 ms and the rears by 1.5, and leaves the subwoofer, which is late', () => {
    const [delay] = recommendationsOf(planOf('b'), 'delay');
    expect(delay.by).toBe('converter');
    const wait = (output: string) => delay.feeds.find((feed) => feed.output === output)!.delaySeconds;
    expect(Math.abs(wait('front') - 4e-3)).toBeLessThan(5e-5);
    expect(Math.abs(wait('rear') - 1.5e-3)).toBeLessThan(5e-5);
    expect(wait('subwoofer')).toBe(0);
  });
});

describe('car c: one output inverted and late, bass cut above mid volume', { timeout: 300_000 }, () => {
  it('bass falls by at least 17.4 dB between 10 and 32; the plan holds up to 24', () => {
    const [restoration] = recommendationsOf(planOf('c'), 'restoration');
    expect(restoration.loss).toMatchObject({ atLeast: true, atHz: 40, betweenSettings: [10, 32] });
    expect(restoration.loss!.db).toBeCloseTo(17.4, 1);
    expect(restoration).toMatchObject({ holdsUpToSetting: 24, toSetting: 24, limitedBy: '12 dB' });
    expect(restoration.shelf?.gainDb ?? 0).toBeLessThanOrEqual(12.5);
    const words = wordsOf('c', ['restoration']);
    expect(words).toContain('at least 17.4 dB at 40 Hz between settings 10 and 32');
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
});

describe('car h: little can be done', { timeout: 300_000 }, () => {
  it('has no bass at any output: nothing is planned for a subwoofer, and no cancellation is made of its noise', () => {
    const ofSubwoofer = planOf('h').filter((item) => 'output' in item && item.output === 'subwoofer');
    expect(ofSubwoofer).toEqual([]);
    for (const { programmes } of recommendationsOf(planOf('h'), 'feed'))
      for (const { worstDipDb } of Object.values(programmes!)) expect(worstDipDb).toBeGreaterThan(-0.1);
  });
});

describe('car g2: 50 Hz hum common to all four outputs', { timeout: 300_000 }, () => {
  it('says that recorder, charger or ground bring the hum, how to find out, and lets the dash close', () => {
    const { checks } = solvedCase('g2').results;
    expect(checks!.mayCloseDash).toBe(true);
    expect(checks!.recordNext).toEqual([]);
    const said = checks!.notes.map(({ reason }) => reasonText(reason)).join(' ');
    expect(said).toMatch(/50 Hz hum .*recorder, a charger or a ground.*batteries.*inputs shorted/);
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
});
