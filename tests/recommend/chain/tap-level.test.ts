import { describe, expect, it } from 'vitest';
import { measured } from '../../../src/model/measured.ts';
import { chainTaps, noiseVolts, outputLevel, strongestHz } from '../../../src/recommend/chain/chain-taps.ts';
import {
  feedLevel,
  lawDifferenceDb,
  measuredTogether,
  nearestRecorded,
  ownMiddleDb,
} from '../../../src/recommend/chain/tap-level.ts';
import type { PlanContext } from '../../../src/recommend/plan-context.ts';
import { gainDb, pair, type SyntheticTap } from '../synthetic.ts';
import { contextOf, finding } from './context.ts';

const feedTap = (tapId: string) => ({ tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 }) as const;
const LEFT = feedTap('front left');
const RIGHT = feedTap('front right');
const at = (setting: number, taps = [LEFT]) => feedLevel(contextOf(), taps, setting)!;
const dB = (ratio: number) => 20 * Math.log10(ratio);

describe('what a feed carries', () => {
  it('is its output’s volts; of both sides joined as much as of one, for music alike on both.', () => {
    expect(at(30).level[300]).toBeCloseTo(8, 9);
    expect(at(30, [LEFT, RIGHT]).level[300]).toBeCloseTo(8, 9);
    expect(at(30)).toMatchObject({ inVolts: true, relativePlusMinus: 0.01 });
  });

  it('of two outputs of one side is their sum.', () => {
    const context = contextOf({
      taps: [...pair('door'), ...pair('dash', { response: () => gainDb(-6.0206) })],
    });
    const sum = feedLevel(context, [feedTap('door left'), feedTap('dash left')], 30)!;
    expect(sum.level[300]).toBeCloseTo(12, 3);
    const less = feedLevel(
      context,
      [feedTap('door left'), { ...feedTap('dash left'), polarity: 'inverted' }],
      30,
    )!;
    expect(less.level[300]).toBeCloseTo(4, 3);
  });

  it('without common timing is the stronger at each frequency, halved by nothing.', () => {
    const taps: SyntheticTap[] = pair('front').map((tap, i) => ({
      ...tap,
      timeOrigin: `file ${i}`,
      response: () => gainDb(i === 0 ? -6.0206 : 0),
    }));
    expect(feedLevel(contextOf({ taps }), [LEFT, RIGHT], 30)!.level[300]).toBeCloseTo(8, 3);
  });

  it('at a setting that was not recorded follows the law from the nearest below, or the lowest.', () => {
    expect(dB(at(33).level[300] / 8)).toBeCloseTo(3, 6);
    expect(dB(at(24).level[300] / 8)).toBeCloseTo(-6, 6);
    expect(dB(at(18).level[300] / 8)).toBeCloseTo(-12, 6);
    expect(nearestRecorded(contextOf(), ['front left'], 29)).toBe(25);
    expect(nearestRecorded(contextOf(), ['front left'], 25)).toBe(25);
    expect(nearestRecorded(contextOf(), ['front left'], 3)).toBe(20);
    expect(nearestRecorded(contextOf(), ['nobody'], 30)).toBeNull();
    expect(feedLevel(contextOf(), [feedTap('nobody')], 30)).toBeNull();
  });

  it('is in volts only where every output is, and the volts are believed; the least sure of them decides.', () => {
    const context = contextOf();
    const sure = (relativeUncertainty: number | null, i: number) => ({
      ...context,
      measurements: context.measurements.map((one) =>
        one.tapId === context.taps[i].tapId
          ? {
              ...one,
              voltsPerFullScale: relativeUncertainty === null ? null : { volts: 20, relativeUncertainty },
            }
          : one,
      ),
    });
    expect(feedLevel(sure(0.07, 1), [LEFT, RIGHT], 30)).toMatchObject({
      relativePlusMinus: 0.07,
      inVolts: true,
    });
    expect(feedLevel(sure(null, 1), [LEFT, RIGHT], 30)!.inVolts).toBe(false);
    expect(feedLevel({ ...context, voltsWithheld: { code: 'volts not known' } }, [LEFT], 30)!.inVolts).toBe(
      false,
    );
  });
});

describe('the volume law', () => {
  const law = (levels: [number, number][], dbPerStep: number | null) =>
    contextOf({
      without: ['volume-law'],
      findings: [
        finding({
          kind: 'volume-law',
          tapIds: ['front left'],
          levels: levels.map(([setting, levelDbFs]) => ({ setting, levelDbFs })),
          dbPerStep,
        }),
      ],
    });

  it('is taken as measured where both settings were, else by its step.', () => {
    const measuredLaw = law(
      [
        [20, -30],
        [30, -17],
      ],
      1,
    );
    expect(lawDifferenceDb(measuredLaw, 'front left', { from: 20, to: 30 })).toBe(13);
    expect(lawDifferenceDb(measuredLaw, 'front left', { from: 30, to: 20 })).toBe(-13);
    expect(lawDifferenceDb(measuredLaw, 'front left', { from: 20, to: 24 })).toBe(4);
    expect(lawDifferenceDb(law([], null), 'front left', { from: 20, to: 24 })).toBeNull();
    expect(lawDifferenceDb(measuredLaw, 'front right', { from: 20, to: 24 })).toBeNull();
  });
});

describe('measurements of one time zero', () => {
  it('are taken together where there are any.', () => {
    const context = contextOf();
    const left = context.measurements.filter(({ tapId }) => tapId === 'front left');
    const right = context.measurements.filter(({ tapId }) => tapId === 'front right');
    const linked = { ...right.find(({ setting }) => setting === 30)!, timeOrigin: 'link' };
    const twice = { ...context, measurements: [...left, linked, ...right] };
    const found = measuredTogether(twice, ['front left', 'front right'], 30)!;
    expect(found.timed).toBe(true);
    expect(found.measurements.map(({ timeOrigin }) => timeOrigin)).toEqual(['setting 30', 'setting 30']);
    const apart = { ...context, measurements: [...left, linked] };
    expect(measuredTogether(apart, ['front left', 'front right'], 30)!.timed).toBe(false);
    expect(measuredTogether(context, ['front left'], 31)).toBeNull();
  });
});

it('the middle of an output is 300 Hz to 3 kHz, or of its own band where it ends inside.', () => {
  // 20 dB down outside 300 Hz to 3 kHz, and an output that has only what lies below 200 Hz.
  const middle = contextOf({
    taps: pair('front', { response: (hz) => gainDb(hz < 300 || hz > 3000 ? -20 : 0) }),
  });
  const level = dB(8 / 20);
  expect(ownMiddleDb(middle, middle.measurements.find(({ setting }) => setting === 30)!)).toBeCloseTo(
    level,
    1,
  );
  const below = (minus6Hz: number) => ({
    highEdge: {
      side: 'high',
      minus3Hz: measured({ value: minus6Hz, plusMinus: 1 }),
      minus6Hz: measured({ value: minus6Hz, plusMinus: 1 }),
    },
  });
  const low = contextOf({
    taps: pair('front', { response: (hz) => gainDb(hz > 200 ? -60 : 0), band: below(200) as object }),
  });
  expect(ownMiddleDb(low, low.measurements.find(({ setting }) => setting === 30)!)).toBeGreaterThan(
    level - 20,
  );
});

describe('an output as the chain meets it', () => {
  it('has its strongest tone between 20 Hz and 20 kHz, its volts there, and its noise.', () => {
    const response = (hz: number) => gainDb(hz > 60 && hz < 70 ? 3 : hz < 15 ? 20 : 0);
    const noise = finding({
      kind: 'noise',
      tapIds: ['front left'],
      perSetting: [
        { setting: 20, underQuietToneVolts: measured({ value: 0.001, plusMinus: 0 }) },
        { setting: 30, underQuietToneVolts: measured({ value: 0.003, plusMinus: 0 }) },
      ],
    });
    const context = contextOf({ taps: pair('front', { response }), findings: [noise] });
    const hz = strongestHz(context, 'front left', 30);
    expect(hz).toBeGreaterThan(60);
    expect(hz).toBeLessThan(70);
    expect(strongestHz(context, 'front left', null)).toBe(1000);
    const [left, right] = chainTaps(context, { setting: 30, usedIds: ['front left'] });
    expect(left).toMatchObject({
      tapId: 'front left',
      side: 'left',
      inUse: true,
      voltsRms: { value: expect.closeTo(8 * 10 ** (3 / 20), 6) },
      noiseVoltsRms: 0.003,
      limiter: null,
      plus: null,
      bandHz: [null, null],
    });
    expect(right).toMatchObject({ inUse: false, noiseVoltsRms: null });
    // At the nearest setting that tells, the louder of two; above all of them the loudest.
    const volts = [18, 21, 30, 33].map((setting) => noiseVolts(context, 'front left', setting));
    expect(volts).toEqual([0.001, 0.001, 0.003, 0.003]);
    expect(noiseVolts(context, 'front left', null)).toBe(0.003);
  });

  it('is at line level as noted, or where nothing hangs on it and it gives 7 V peak at most; assumed then.', () => {
    const level = (of: { load?: string; level?: string; rms?: number }) => {
      const { load = 'nothing', rms = 8 } = of;
      const context = contextOf({ volts: { at: 35, rms } });
      const taps = context.session.taps.map((tap) => ({
        ...tap,
        load,
        ...(of.level && { level: of.level }),
      }));
      return outputLevel(
        { ...context, session: { ...context.session, taps: taps as typeof context.session.taps } },
        'front left',
      );
    };
    expect(level({ level: 'line' })).toEqual({ level: 'line', assumed: false });
    expect(level({ load: 'speaker', rms: 2 })).toEqual({ level: 'speaker', assumed: true });
    expect(level({ rms: 4.9 })).toEqual({ level: 'line', assumed: true });
    expect(level({ rms: 5 })).toEqual({ level: 'speaker', assumed: true });
  });

  it('names its wires by colour and pin, as far as noted.', () => {
    const context = contextOf();
    const wired = context.session.taps.map((tap, i) => ({
      ...tap,
      plus: i === 0 ? { colour: 'white', pin: '3' } : { pin: '7' },
      minus: i === 0 ? { colour: 'white/black' } : {},
      connector: 'grey',
    }));
    const noted = { ...context, session: { ...context.session, taps: wired } };
    const [left, right] = chainTaps(noted, { setting: 30, usedIds: [] });
    expect(left).toMatchObject({ plus: 'white, pin 3', minus: 'white/black', connector: 'grey' });
    expect(right).toMatchObject({ plus: 'pin 7', minus: null });
  });

  it('gives at most its rail at 15 V of supply: 12.6 V peak at 14.4 V are 13.1 V.', () => {
    const rail = finding({
      kind: 'rail',
      tapIds: ['front left'],
      clipVoltsPeak: measured({ value: 12.6, plusMinus: 0.1 }),
      expectedVoltsPeak: [12.4, 13.4],
      verdict: 'as expected',
      question: null,
    });
    const most = (volts: number | null) =>
      chainTaps(contextOf({ findings: [rail], session: { supply: { volts, engineRunning: null } } }), {
        setting: 30,
        usedIds: [],
      })[0].mostVoltsPeak;
    expect(most(14.4)).toBeCloseTo((12.6 * 15) / 14.4, 9);
    expect(most(15.5)).toBeCloseTo(12.6, 9);
    expect(most(null)).toBeCloseTo(12.6, 9);
    expect(chainTaps(contextOf(), { setting: 30, usedIds: [] })[0].mostVoltsPeak).toBeNull();
  });

  it('gives no more at its loudest than a tone gave that clipped there: 1.25 times a tone with 75 % of harmonics.', () => {
    const context = contextOf({ session: { supply: { volts: 12, engineRunning: true } } });
    const loudest = (drives: readonly [levelDbFs: number, thd: number][], ofTap = 'front left') => {
      const steps = drives.map(([levelDbFs, thd]) => ({ levelDbFs, thd }));
      const measurements = context.measurements.map((one) =>
        one.tapId === ofTap && one.setting === 35 ? { ...one, ladders: [{ steps }] } : one,
      );
      const clipped = { ...context, measurements } as unknown as PlanContext;
      return chainTaps(clipped, { setting: 35, usedIds: [] })[0].loudestVoltsRms;
    };
    const perFullScale = context.measurements.find(
      ({ tapId, setting }) => tapId === 'front left' && setting === 35,
    )!.voltsPerFullScale!.volts;
    const linear = 8 * 10 ** (5 / 20);
    const tenth = 20 * Math.log10(linear / 10 / perFullScale);
    expect(loudest([])).toBeCloseTo(linear, 6);
    // The last step counts; 12 V of supply rise to 15.
    expect(
      loudest([
        [tenth - 6, 0.75],
        [tenth + 1, 0.75],
        [tenth, 0.75],
      ]),
    ).toBeCloseTo(((linear / 10) * 1.25 * 15) / 12, 6);
    // One that does not clip, of another output, or that gave more than a full-scale tone would: none of them ends it.
    expect(loudest([[tenth, 0.005]])).toBeCloseTo(linear, 6);
    expect(loudest([[tenth, 0.75]], 'front right')).toBeCloseTo(linear, 6);
    expect(loudest([[tenth + 20, 0.75]])).toBeCloseTo(linear, 6);
  });

  it('has its limiter at this setting, or the next louder one that tells.', () => {
    const row = (setting: number, drive: number | null, held: number | null) => ({
      setting,
      thresholdDriveDbFs:
        drive === null ? { notMeasurable: 'noise' } : measured({ value: drive, plusMinus: 0 }),
      levelVoltsRms: held === null ? { notMeasurable: 'noise' } : measured({ value: held, plusMinus: 0 }),
    });
    const limiter = finding({
      kind: 'bass-limiter',
      tapIds: ['front left'],
      perSetting: [row(20, -3, 2), row(25, null, null), row(30, -10, null)],
    });
    const limiterAt = (setting: number | null, findings = [limiter]) =>
      chainTaps(contextOf({ findings }), { setting, usedIds: [] })[0].limiter;
    expect(limiterAt(20)).toEqual({ setting: 20, thresholdDriveDbFs: -3, heldVoltsRms: 2 });
    expect(limiterAt(22)).toEqual({ setting: 30, thresholdDriveDbFs: -10, heldVoltsRms: null });
    expect(limiterAt(35)).toMatchObject({ setting: 30 });
    expect(limiterAt(null)).toMatchObject({ setting: 30 });
    expect(limiterAt(20, [])).toBeNull();
  });
});
