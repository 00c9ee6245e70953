import { describe, expect, it } from 'vitest';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { expectTheSameOf, planOf, wordsOf } from './case-answers.ts';
import { solvedCase } from './solved-case.ts';

// What a good installer would do: README.md of this folder; figures by the scenario's own closed forms, V = sqrt(P R).
describe('car b: fuse for wire and system', { timeout: 300_000 }, () => {
  it('finds the 150 A that is there right: at most 250 A for 50 mm2, 111 A drawn', () => {
    const { supply } = solvedCase('b').results.chain!;
    expect(supply!.fullCurrentAmps).toBeCloseTo(1200 / 0.75 / 14.4, 6);
    expect(supply!.fuseAtMostAmps).toBe(250);
    expect(supply!.fittedFuse).toEqual({ amps: 150, verdict: 'right' });
  });

  it('waits with the tweeters: nobody said what protects them behind the sum', () => {
    const { chain } = solvedCase('b').results;
    expect(chain!.verdict).toBe('do it with limits');
    expect(chain!.because.map(codeOf)).toContain('tweeter not protected yet');
  });
});

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

  it('is told the same by check and by planning it again', () => {
    expectTheSameOf('b');
  });
});
