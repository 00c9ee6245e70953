import { describe, expect, it } from 'vitest';
import { gridFrequencyHz, gridSpan } from '../../../src/model/frequency-grid.ts';
import { measured } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import type { FeedTap } from '../../../src/model/recommendation.ts';
import { anchorPolarity } from '../../../src/recommend/feeds/anchor-polarity.ts';
import { carriedBand } from '../../../src/recommend/feeds/carried-band.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';
import { FULL_RANGE_HZ, flatnessOf, middleLevelDb } from '../../../src/recommend/feeds/flatness.ts';
import { runnersUp, sumReasons } from '../../../src/recommend/feeds/runners-up.ts';
import { subwooferLaw } from '../../../src/recommend/feeds/subwoofer-law.ts';
import { type ScoredSum, score } from '../../../src/recommend/feeds/sum-cost.ts';
import { unknownTiming } from '../../../src/recommend/feeds/unknown-timing.ts';
import { bassDb, contextOf, finding } from '../chain/context.ts';
import { gainDb, pair } from '../synthetic.ts';

const curve = (db: (hz: number) => number) => gridFrequencyHz.map(db);
const near = (hz: number, wantedHz: number) => Math.abs(Math.log2(hz / wantedHz)) < 0.05;

describe('how even a sum is', () => {
  const flatness = (sum: (hz: number) => number, without = sum, levelAgainstDb: number | null = null) =>
    flatnessOf({
      sumDb: curve(sum),
      withoutCancellationDb: curve(without),
      wantedHz: FULL_RANGE_HZ,
      levelAgainstDb,
    });

  it('is its highest less its lowest within the band, half an octave inside where it rolls off.', () => {
    expect(flatness(() => -7)).toMatchObject({ rippleDb: 0, worstDipDb: 0, levelDb: 0 });
    expect(flatness((hz) => (hz > 900 && hz < 1100 ? 2 : hz > 4000 && hz < 5000 ? -1 : 0)).rippleDb).toBe(3);
    // Rolls off below 100 Hz: ripple is read from 141 Hz up.
    const rolled = (hz: number) => (hz < 100 ? -20 : hz < 138 ? -4 : 0);
    expect(flatness(rolled)).toMatchObject({ rippleDb: 0 });
    expect(near(flatness(rolled).bandHz![0], 100)).toBe(true);
    expect(flatness((hz) => (hz < 100 ? -20 : hz < 150 ? -4 : 0)).rippleDb).toBe(4);
    // Outside of what is wanted nothing counts.
    expect(flatness((hz) => (hz < 29 || hz > 15_200 ? 9 : 0)).rippleDb).toBe(0);
  });

  it('ends where it is 6 dB under its middle, and the middle leaves out what is 12 dB down.', () => {
    const step = (db: number) => flatness((hz) => (hz > 5000 ? db : 0)).bandHz![1];
    expect(near(step(-5.9), gridFrequencyHz[gridFrequencyHz.length - 1])).toBe(true);
    expect(near(step(-6.1), 5000)).toBe(true);
    const wanted = gridSpan(FULL_RANGE_HZ);
    expect(
      middleLevelDb(
        curve((hz) => (hz < 3000 ? -13 : 0)),
        wanted,
      ),
    ).toBe(0);
    expect(
      middleLevelDb(
        curve((hz) => (hz < 3000 ? -11 : 0)),
        wanted,
      ),
    ).toBe(-11);
  });

  it('dips where its taps cancel, but for what is 12 dB down anyway; 60 dB are a full null.', () => {
    const dip = flatness(
      (hz) => (hz > 1900 && hz < 2100 ? -8 : 0),
      () => 0,
    );
    expect(dip.worstDipDb).toBe(-8);
    expect(dip.worstDipHz).toBeGreaterThan(1900);
    expect(dip.worstDipHz).toBeLessThan(1930);
    expect(
      flatness(
        (hz) => (hz < 100 ? -40 : 0),
        (hz) => (hz < 100 ? -13 : 0),
      ).worstDipDb,
    ).toBe(0);
    expect(
      flatness(
        (hz) => (hz < 100 ? -40 : 0),
        (hz) => (hz < 100 ? -11 : 0),
      ).worstDipDb,
    ).toBe(-29);
    expect(
      flatness(
        (hz) => (hz < 100 ? -99 : 0),
        () => 0,
      ),
    ).toMatchObject({ worstDipDb: -60 });
    expect(
      flatness(
        () => 3,
        () => 3,
        1,
      ).levelDb,
    ).toBe(2);
  });
});

describe('the band that outputs carry together', () => {
  it('is from the lowest to the highest, half an octave inside where they roll off.', () => {
    const low = curve((hz) => (hz < 1000 ? 0 : -40));
    const high = curve((hz) => (hz > 500 && hz < 8000 ? 0 : -40));
    const both = carriedBand([low, high], FULL_RANGE_HZ);
    expect(near(both[0], 30)).toBe(true);
    expect(near(both[1], 8000 / Math.SQRT2)).toBe(true);
    expect(near(carriedBand([high], FULL_RANGE_HZ)[0], 500 * Math.SQRT2)).toBe(true);
    // Narrower than an octave: all that is wanted is judged.
    expect(carriedBand([curve((hz) => (hz > 900 && hz < 1100 ? 0 : -40))], FULL_RANGE_HZ)).toEqual(
      FULL_RANGE_HZ,
    );
  });
});

const feedTap = (tapId: string, part: Partial<FeedTap> = {}): FeedTap => ({
  tapId,
  polarity: 'as wired',
  trimDb: 0,
  delaySeconds: 0,
  ...part,
});

describe('the cost of a sum', () => {
  const HZ = Float64Array.of(100, 1000, 10_000);
  const column = (tapId: string, real: number[], penaltyDb = 0) => ({
    tapId,
    penaltyDb,
    frequencyHz: HZ,
    real: Float64Array.from(real),
    imag: new Float64Array(3),
    magnitude: Float64Array.from(real, Math.abs),
  });
  const one = (real: number[], part: Partial<FeedTap> = {}, penaltyDb = 0) => ({
    column: column('a', real, penaltyDb),
    tap: feedTap('a', part),
  });

  it('is nothing for one even tap, and its deviation for an uneven one.', () => {
    expect(score([one([1, 1, 1])])).toMatchObject({
      costDb: expect.closeTo(0, 9),
      rmsDb: expect.closeTo(0, 9),
      rippleDb: expect.closeTo(0, 9),
    });
    // 0, 0 and -6.02 dB: the mean is -2.007; 2.007, 2.007 and 4.013 are 2.838 RMS.
    const uneven = score([one([1, 1, 0.5])]);
    expect(uneven.rmsDb).toBeCloseTo(2.838, 3);
    expect(uneven.rippleDb).toBeCloseTo(6.0206, 4);
    expect(uneven.costDb).toBeCloseTo(uneven.rmsDb, 9);
    // What is 12 dB down does not move the middle, and counts 30 dB at most.
    expect(score([one([1, 1, 1e-9])]).rmsDb).toBeCloseTo(Math.sqrt(900 / 3), 6);
  });

  it('has the price of each further tap, inversion, delay and trim, and the worst penalty.', () => {
    const cost = (...parts: Partial<FeedTap>[]) => score(parts.map((part) => one([1, 1, 1], part))).costDb;
    expect(cost({}, {})).toBeCloseTo(0.1, 6);
    expect(cost({ polarity: 'inverted' })).toBeCloseTo(0.05, 6);
    expect(cost({ delaySeconds: 1e-3 })).toBeCloseTo(0.5, 6);
    expect(cost({ trimDb: -3 })).toBeCloseTo(0.2, 6);
    expect(score([one([1, 1, 1], {}, 2), one([1, 1, 1], {}, 3)])).toMatchObject({
      costDb: expect.closeTo(3.1, 6),
      penaltyDb: 3,
    });
  });

  it('pays for half of what cancels; trims and delays are counted in.', () => {
    // 1 - 0.5 against 1 + 0.5: a dip of 9.54 dB, everywhere.
    const fought = score([one([1, 1, 1]), one([0.5, 0.5, 0.5], { polarity: 'inverted' })]);
    expect(fought.dipDb).toBeCloseTo(-9.542, 3);
    expect(fought.costDb).toBeCloseTo(0.5 * 9.542 + 0.15, 3);
    // What is 12 dB under the rest cannot cancel anything that is heard: a quarter of it, and a little.
    const cancels = (at10kHz: number) => score([one([1, 1, at10kHz]), one([1, 1, -at10kHz])]).dipDb;
    expect(cancels(0.248)).toBeCloseTo(0, 6);
    expect(cancels(0.255)).toBe(-60);
    const trimmed = score([one([1, 1, 1]), one([1, 1, 1], { trimDb: -6.0206, polarity: 'inverted' })]);
    expect(trimmed.dipDb).toBeCloseTo(-9.542, 3);
    // 0.5 ms turn 1 kHz by half: what was inverted adds there, and 10 kHz, ten half turns, stays inverted.
    const delayed = score([one([0, 1, 0]), one([0, 1, 0], { delaySeconds: 0.0005, polarity: 'inverted' })]);
    expect(delayed.dipDb).toBeCloseTo(0, 6);
  });
});

describe('what came after the best', () => {
  const sum = (part: Partial<ScoredSum> & { count?: number }): ScoredSum => ({
    taps: Array.from({ length: part.count ?? 1 }, (_, i) => feedTap(`tap ${i}`)),
    costDb: 0,
    rmsDb: 1,
    rippleDb: 3,
    dipDb: 0,
    penaltyDb: 0,
    ...part,
  });
  const why = (other: Parameters<typeof sum>[0], best: Parameters<typeof sum>[0] = { count: 2 }) =>
    codeOf(runnersUp([sum(best), sum(other)], () => null)[0].lostBecause);

  it('lost because it cancels, lacks band, is less even, or has more to set.', () => {
    expect(why({ dipDb: -3.1 })).toBe('the taps cancel');
    expect(why({ rmsDb: 1.31 })).toBe('part of the band is missing');
    expect(why({ rmsDb: 1.31, count: 2 })).toBe('less even');
    expect(why({ rippleDb: 3.31, count: 2 })).toBe('less even');
    expect(why({ count: 3, rmsDb: 1.29, rippleDb: 3.29, dipDb: -2.9 })).toBe('more taps for nothing');
    expect(why({ count: 2 })).toBe('no better and more to set');
    expect(
      runnersUp(
        Array.from({ length: 9 }, () => sum({})),
        () => null,
      ),
    ).toHaveLength(4);
  });

  it('was beaten by what the sum does and needs.', () => {
    const codes = (of: ScoredSum, among = 3) => sumReasons(of, among).map(codeOf);
    expect(codes(sum({}))).toEqual(['the most even alone']);
    expect(codes(sum({}), 1)).toEqual(['the only output there']);
    const treated = {
      ...sum({ dipDb: -3.1 }),
      taps: [feedTap('a', { polarity: 'inverted' }), feedTap('b', { delaySeconds: 1e-4 })],
    };
    expect(codes(treated)).toEqual([
      'taps carry the band together',
      'crossed, or they cancel',
      'delayed to add',
      'a dip remains',
    ]);
    expect(codes(sum({ count: 2, dipDb: -2.9 }))).toEqual(['taps carry the band together']);
  });
});

describe('timing that nobody recorded', () => {
  it('leaves from 0 dB to what the strongest has left: 1 against 0.5 are a third, 9.54 dB; equal ones a full null.', () => {
    const taps = (db: number) => [...pair('door'), ...pair('dash', { response: () => gainDb(db) })];
    const told = (db: number) =>
      unknownTiming(contextOf({ taps: taps(db) }), {
        tapIds: ['door left', 'dash left'],
        setting: 30,
        wantedHz: FULL_RANGE_HZ,
      });
    expect(told(-6.0206)).toMatchObject({ bestDipDb: 0, worstDipDb: expect.closeTo(-9.542, 2) });
    expect(told(0).worstDipDb).toBe(-60);
    expect(told(-40).worstDipDb).toBeCloseTo(20 * Math.log10(0.99 / 1.01), 3);
  });
});

describe('the sign of a sum', () => {
  const timing = (tapId: string, polarity: string) =>
    finding({
      kind: 'timing',
      tapIds: [tapId, 'x'],
      tapId,
      referenceTapId: 'x',
      delaySeconds: measured({ value: 0, plusMinus: 0 }),
      polarity,
    });
  const taps = [...pair('door'), ...pair('dash', { response: (hz) => gainDb(hz < 500 ? -30 : 0) })];
  const signs = (polarities: FeedTap['polarity'][], ...turned: string[]) =>
    anchorPolarity(contextOf({ taps, findings: turned.map((id) => timing(id, 'inverted')) }), [
      feedTap('dash left', { polarity: polarities[0] }),
      feedTap('door left', { polarity: polarities[1] }),
    ]).map(({ polarity }) => polarity);

  it('is that of the tap with most bass, as the reference has it.', () => {
    expect(signs(['inverted', 'as wired'])).toEqual(['inverted', 'as wired']);
    expect(signs(['as wired', 'inverted'])).toEqual(['inverted', 'as wired']);
    expect(signs(['as wired', 'as wired'], 'door left')).toEqual(['inverted', 'inverted']);
    expect(signs(['inverted', 'inverted'], 'door left')).toEqual(['inverted', 'inverted']);
    expect(signs(['as wired', 'as wired'], 'dash left')).toEqual(['as wired', 'as wired']);
  });
});

describe('a subwoofer output beside the mains', () => {
  const law = (tapId: string, levels: number[]) =>
    finding({
      kind: 'volume-law',
      tapIds: [tapId],
      levels: levels.map((levelDbFs, i) => ({ setting: 20 + 5 * i, levelDbFs })),
      dbPerStep: 1,
      followsVolume: true,
    });
  const feeds = [
    { output: 'front', side: 'left', taps: [feedTap('front left')] },
    { output: 'subwoofer', side: 'both', taps: [feedTap('subwoofer left')] },
  ] as unknown as Feed[];
  const judge = (sub: number[], boost: number[] = [0, 0, 0, 0]) => {
    const context = contextOf({
      taps: [...pair('front'), ...pair('subwoofer')],
      without: ['volume-law'],
      findings: [law('front left', [-30, -25, -20, -15]), law('subwoofer left', sub)],
    });
    return subwooferLaw(context, feeds, (setting) => bassDb(boost[(setting - 20) / 5]))[0];
  };

  it('keeps with them within 2 dB from the lowest setting to the highest, falls behind or runs ahead.', () => {
    expect(judge([-30, -25, -20, -16.9]).verdict).toBe('keeps with the mains');
    expect(judge([-30, -25, -20, -17.1]).verdict).toBe('falls behind');
    expect(judge([-30, -25, -20, -12.9]).verdict).toBe('runs off');
    expect(judge([-30, -25, -20, -13.1]).verdict).toBe('keeps with the mains');
    const [first, , , last] = judge([-30, -25, -20, -19]).perSetting;
    expect(last.againstMainsDb - first.againstMainsDb).toBeCloseTo(-4, 9);
  });

  it('is held against the mains as it stands to them in the middle of the settings that are judged.', () => {
    expect(judge([-31, -25, -22, -19]).perSetting).toEqual(
      [-1, 0, -2, -4].map((db, i) => ({ setting: 20 + 5 * i, againstMainsDb: expect.closeTo(db, 9) })),
    );
  });

  it('is not behind by what restoration brings back.', () => {
    expect(judge([-30, -25, -20, -19], [0, 0, 0, 4]).verdict).toBe('keeps with the mains');
  });
});
