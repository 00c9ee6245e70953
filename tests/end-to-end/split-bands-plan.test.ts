import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analyse.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { fromRecord } from '../../src/model/measurement-record.ts';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { Results } from '../../src/model/results.ts';
import { magnitudes, predictSum } from '../../src/recommend/feeds/predict-sum.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { ScenarioInput, TapInput } from '../../src/simulate/scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { memorySound } from '../memory-sound.ts';
import { LEVEL, planWith, resultsOf } from './plan-with.ts';

describe('dash and door split at 3 kHz, Linkwitz-Riley 12 dB/octave', () => {
  const tap = (place: 'door' | 'dash', lateMicroseconds: number): TapInput => ({
    id: `${place}-left`,
    side: 'left',
    position: place,
    volume: LEVEL,
    delayMicroseconds: lateMicroseconds,
    crossover: [
      {
        side: place === 'door' ? 'low-pass' : 'high-pass',
        family: 'linkwitz-riley',
        order: 2,
        cornerHz: 3000,
      },
    ],
  });
  const split = (dashLateMicroseconds: number): ScenarioInput => ({
    track: 'response only',
    settings: [20],
    taps: [tap('door', 0), tap('dash', dashLateMicroseconds)],
  });
  const feedOf = (plan: Results['recommendations']) => recommendationsOf(plan, 'feed')[0];
  const inverted = ({ taps }: { taps: readonly { polarity: string; tapId: string }[] }) =>
    taps.filter(({ polarity }) => polarity === 'inverted').map(({ tapId }) => tapId);

  it('as wired a null at 3.0 kHz, one inverted flat', () => {
    const results = resultsOf(split(0));
    const feed = feedOf(results.recommendations);
    expect(inverted(feed)).toEqual(['dash-left']);
    expect(feed.taps.every(({ delaySeconds }) => delaySeconds === 0)).toBe(true);
    expect(feed.programmes!.left.rippleDb).toBeLessThan(0.1);
    const asWired = magnitudes(
      predictSum({
        programme: 'left',
        parts: results.measurements.map(fromRecord).map((measurement) => ({
          measurement,
          tap: { tapId: measurement.tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 },
        })),
      }),
    );
    const inBand = asWired.map((level, i) =>
      gridFrequencyHz[i] > 300 && gridFrequencyHz[i] < 15_000 ? level : Number.POSITIVE_INFINITY,
    );
    const nullAt = inBand.indexOf(Math.min(...inBand));
    expect(gridFrequencyHz[nullAt] / 3000).toBeCloseTo(1, 1);
    const wired = feed.runnersUp.find((sum) => sum.taps.length === 2 && inverted(sum).length === 0)!;
    expect(wired.worstDipDb).toBeLessThan(-30);
  });

  it('the dash 20 microseconds late: one inverted, worst -0.5 dB', () => {
    const feed = feedOf(resultsOf(split(20)).recommendations);
    expect(inverted(feed)).toEqual(['dash-left']);
    expect(feed.taps.every(({ delaySeconds }) => delaySeconds === 0)).toBe(true);
    expect(Math.abs(feed.programmes!.left.worstDipDb + 0.48)).toBeLessThan(0.1);
  });

  it('100 late: invert and delay the door by 100; inverting alone is worse than as wired', () => {
    const results = resultsOf(split(100));
    const feed = feedOf(results.recommendations);
    const [door, dash] = ['door', 'dash'].map(
      (place) => feed.taps.find(({ tapId }) => tapId.startsWith(place))!,
    );
    expect(inverted(feed)).toHaveLength(1);
    expect(Math.abs(door.delaySeconds - 100e-6)).toBeLessThan(5e-6);
    expect(dash.delaySeconds).toBe(0);
    expect(feed.programmes!.left.rippleDb).toBeLessThan(0.2);

    const noDelay = feedOf(
      planWith(results, {
        converter: { inputs: 4, inputLimitVoltsRms: 20, summing: 'any', canInvert: true },
        amplifiers: [{ feeds: ['front'], ratedWatts: 75 }],
      }),
    );
    expect(inverted(noDelay)).toEqual([]);
    expect(Math.abs(noDelay.programmes!.left.worstDipDb + 3.56)).toBeLessThan(0.1);
    const turned = noDelay.runnersUp.find((sum) => inverted(sum).length > 0)!;
    // -7.95 dB by analogue filters; the simulated ones are digital at 48 kHz, and by their closed form it is -7.76.
    expect(Math.abs(turned.worstDipDb + 7.76)).toBeLessThan(0.05);
  });

  it('a one-channel recorder: from 0 dB to a full null, and both to be recorded together', () => {
    const [{ channels, sampleRateHz }] = [...simulate(resolveScenario(split(0))).recordings()];
    const taps = ['door-left', 'dash-left'];
    const session = resolveSession(
      {
        settings: [20],
        taps,
        recordings: taps.map((id) => ({ file: `${id}.wav`, setting: 20, channels: [id] })),
      },
      { folderFiles: [] },
    );
    const open = (name: string) =>
      memorySound({ name, sampleRateHz, channels: [channels[taps.indexOf(name.replace('.wav', ''))]] });
    const { recommendations: plan } = analyse({ session, open, toolVersion: 'test', inputs: [] });
    const feed = feedOf(plan);
    expect(feed.programmes).toBeNull();
    expect(feed.unknownTiming).toMatchObject({ bestDipDb: 0, worstDipDb: -60 });
    expect(feed.unknownTiming!.atHz / 3000).toBeCloseTo(1, 1);
    const [next] = recommendationsOf(plan, 'record-next');
    expect(next.blocks).toBe(true);
    expect(codeOf(next.what)).toBe('record taps together');
    expect([...next.tapIds].sort()).toEqual(['dash-left', 'door-left']);
  });
});
