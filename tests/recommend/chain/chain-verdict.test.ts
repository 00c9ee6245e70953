import { describe, expect, it } from 'vitest';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { verdictOf } from '../../../src/recommend/chain/chain-verdict.ts';
import {
  bassBeginsAt,
  clipsBeforeVolume,
  withoutBass,
  withoutCleanSetting,
} from '../../../src/recommend/chain/usable-source.ts';
import { gainDb, pair } from '../synthetic.ts';
import { contextOf, finding } from './context.ts';

const FEED = { output: 'front', noGains: [], conditions: [] };
const HELD = { code: 'bass held by the limiter', thresholdVolts: null };
const NOT_NOTED = { code: 'rating not noted', load: 'door' };
const SOLVED = {
  noSource: [],
  endedBy: null,
  bassBeginsAt: null,
  restoration: null,
  protections: [],
  keepLevel: [],
  feeds: [FEED],
  volume: { setting: 30, cleanSetting: 30, highestRecorded: 36 },
  taps: [],
};
const verdict = (part: object) => {
  const { verdict: found, because } = verdictOf({ ...SOLVED, ...part } as unknown as Parameters<
    typeof verdictOf
  >[0]);
  return [found, ...because.map(codeOf)];
};

describe('the verdict', () => {
  it('is to do it where nothing is in the way.', () => {
    expect(verdict({})).toEqual(['do it']);
    expect(verdict({ feeds: [] })).toEqual(['do it']);
    expect(verdict({ feeds: [{ ...FEED, conditions: [NOT_NOTED] }] })).toEqual(['do it']);
  });

  it('is not like this without a source, or with no gain on any feed.', () => {
    expect(verdict({ noSource: [{ code: 'no clean setting known' }] })).toEqual([
      'not like this',
      'no clean setting known',
    ]);
    const none = { ...FEED, noGains: [{ code: 'load below the lowest' }] };
    expect(verdict({ feeds: [none, none] })).toEqual(['not like this', 'load below the lowest']);
    expect(verdict({ feeds: [none, FEED] })).toEqual(['do it with limits', 'load below the lowest']);
  });

  it('has limits: no bass, tweeters that nobody protects, an early end, restoration that ends first.', () => {
    expect(verdict({ bassBeginsAt: 120 })).toEqual(['do it with limits', 'no bass at any output']);
    expect(verdict({ keepLevel: ['subwoofer'] })).toEqual(['do it with limits', 'feed keeps its level']);
    const protection = (answer: string) => ({
      answer,
      tapIds: ['dash left'],
      highPass: { notBelowHz: 3000 },
    });
    expect(verdict({ protections: [protection('ask')] })).toEqual([
      'do it with limits',
      'tweeter not protected yet',
    ]);
    expect(verdict({ protections: [protection('own crossover')] })).toEqual(['do it']);
    const volume = (setting: number | null) => ({ volume: { ...SOLVED.volume, setting } });
    // Two thirds of 36 are 24.
    expect([24, 23, null].map((setting) => verdict(volume(setting))[0])).toEqual([
      'do it',
      'do it with limits',
      'do it',
    ]);
    expect(verdict(volume(23))[1]).toBe('volume ends early');
    const restoration = (holdsUpToSetting: number | null) => ({ restoration: { holdsUpToSetting } });
    expect(verdict(restoration(28))).toEqual(['do it with limits', 'restoration holds up to']);
    expect(verdict(restoration(30))).toEqual(['do it']);
    expect(verdict(restoration(null))).toEqual(['do it']);
    expect(verdict({ ...restoration(28), volume: { ...SOLVED.volume, cleanSetting: null } })).toEqual([
      'do it',
    ]);
  });

  it('counts bass that is held where it is played: on the subwoofer where there is one.', () => {
    const [front, sub] = [FEED, { ...FEED, output: 'subwoofer' }];
    const held = (feed: object) => ({ ...feed, conditions: [HELD] });
    expect(verdict({ feeds: [held(front)] })).toEqual(['do it with limits', 'bass held by the limiter']);
    expect(verdict({ feeds: [held(front), sub] })).toEqual(['do it']);
    expect(verdict({ feeds: [front, held(sub)] })[0]).toBe('do it with limits');
    for (const code of ['amplifier not filled', 'lowest load not noted'])
      expect(verdict({ feeds: [{ ...front, conditions: [{ code }] }, sub] })).toEqual([
        'do it with limits',
        code,
      ]);
  });

  it('calls noise high less than 60 dB below full output, of outputs in use.', () => {
    const tap = (noiseVoltsRms: number | null, more: object = {}) => ({
      taps: [
        { tapId: 'x', inUse: true, noiseVoltsRms, voltsRms: measured({ value: 10, plusMinus: 0 }), ...more },
      ],
    });
    expect(verdict(tap(0.0101))).toEqual(['do it with limits', 'noise is high']);
    expect(verdict(tap(0.0099))).toEqual(['do it']);
    expect(verdict(tap(1, { inUse: false }))).toEqual(['do it']);
    expect(verdict(tap(1, { voltsRms: notMeasurable({ code: 'volts not known' }) }))).toEqual(['do it']);
    expect(verdict(tap(0))).toEqual(['do it']);
    expect(verdict(tap(null))).toEqual(['do it']);
    const { because } = verdictOf({ ...SOLVED, ...tap(0.1) } as unknown as Parameters<typeof verdictOf>[0]);
    expect(because).toEqual([
      { code: 'noise is high', tapId: 'x', belowFullOutputDb: expect.closeTo(40, 9) },
    ]);
  });

  it('says each thing once.', () => {
    const same = { ...FEED, conditions: [{ code: 'amplifier not filled', amplifier: 'a' }] };
    expect(verdict({ feeds: [same, same] })).toEqual(['do it with limits', 'amplifier not filled']);
  });
});

describe('a source that is usable', () => {
  const drives = (...perSetting: [number, number | null][]) =>
    contextOf({
      without: ['clipping'],
      findings: [
        finding({
          kind: 'clipping',
          tapIds: ['front left'],
          perSetting: perSetting.map(([setting, value]) => ({
            setting,
            driveDbFs:
              value === null
                ? notMeasurable({ code: 'volts not known' })
                : measured({ value, plusMinus: 0.1 }),
          })),
        }),
      ],
    });

  it('does not clip before the volume control, at one drive whatever the setting.', () => {
    expect(clipsBeforeVolume(drives([20, -4], [25, -4.15], [30, -9]))).toBe(-4.15);
    expect(clipsBeforeVolume(drives([30, -9], [25, -4.15], [20, -4]))).toBe(-4.15);
    expect(clipsBeforeVolume(drives([20, -4], [25, -4.25]))).toBeNull();
    expect(clipsBeforeVolume(drives([20, null], [25, -4], [30, -4]))).toBe(-4);
    expect(clipsBeforeVolume(drives([20, -4]))).toBeNull();
  });

  it('says why no setting is clean.', () => {
    const why = (context: ReturnType<typeof contextOf>, recorded: number | null, first: number | null) =>
      withoutCleanSetting(context, { recorded, firstClippingRecorded: first } as Parameters<
        typeof withoutCleanSetting
      >[1]);
    const quiet = contextOf();
    expect(why(quiet, 30, 35)).toEqual([]);
    expect(why(quiet, null, null)).toEqual([{ code: 'no clean setting known' }]);
    expect(why(quiet, null, 20)).toEqual([{ code: 'no setting is clean', settings: [20, 25, 30, 35] }]);
    expect(why(drives([20, -4], [25, -4]), null, 20)).toEqual([
      { code: 'clips before the volume control', driveDbFs: -4 },
    ]);
  });

  const edge = (hz: number) => ({
    lowEdge: {
      side: 'low',
      minus3Hz: measured({ value: hz, plusMinus: 1 }),
      minus6Hz: measured({ value: hz * 0.8, plusMinus: 1 }),
    },
  });

  it('has bass at some output within 12 dB of the rest; if not, the deepest edge says from where.', () => {
    const radio = (db: number) => ({
      taps: [
        ...pair('front', { response: (hz: number) => gainDb(hz < 100 ? db : 0), band: edge(110) as object }),
        ...pair('rear', { response: (hz: number) => gainDb(hz < 200 ? -40 : 0), band: edge(220) as object }),
      ],
    });
    expect(bassBeginsAt(contextOf(radio(-11)))).toBeNull();
    expect(bassBeginsAt(contextOf(radio(-13)))).toBe(110);
    expect(withoutBass(contextOf(radio(-13)), ['front left'])).toEqual([
      { code: 'no bass at any output', fromHz: 110 },
    ]);
    // What counts is what a subwoofer plays, 30 to 70 Hz.
    const only = (lowHz: number, highHz: number) =>
      contextOf({
        taps: pair('front', {
          response: (hz) => gainDb(hz > 150 || (hz > lowHz && hz < highHz) ? 0 : -20),
          band: edge(110) as object,
        }),
      });
    expect(bassBeginsAt(only(32, 40))).toBeNull();
    expect(bassBeginsAt(only(60, 68))).toBeNull();
    expect(bassBeginsAt(only(75, 150))).toBe(110);
    expect(bassBeginsAt(only(15, 28))).toBe(110);
    const withSub = contextOf({
      taps: [...radio(-13).taps, ...pair('subwoofer', { response: (hz) => gainDb(hz > 80 ? -60 : 0) })],
    });
    expect(bassBeginsAt(withSub)).toBeNull();
  });

  it('whose bass nobody could judge carries no subwoofer’s gain.', () => {
    const told = (word: string) => contextOf({ bassChange: { verdict: word as 'steady' } });
    expect(withoutBass(told('steady'), ['front left'])).toEqual([]);
    expect(withoutBass(told('cannot be told'), ['front left'])).toEqual([
      { code: 'bass not judged', tapIds: ['front left'] },
    ]);
  });
});
