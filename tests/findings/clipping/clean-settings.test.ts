import { describe, expect, it } from 'vitest';
import { findRouting } from '../../../src/findings/arrival/routing.ts';
import type { LevelProfile } from '../../../src/findings/bass/level-profile.ts';
import type { CleanLimit } from '../../../src/findings/clipping/clean-limit.ts';
import { cleanSettings } from '../../../src/findings/clipping/clean-settings.ts';
import type { TapTake } from '../../../src/findings/tap-take.ts';
import { tapVoltsRms } from '../../../src/findings/tap-volts.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { notMeasurable } from '../../../src/model/measured.ts';
import { recording } from '../../verify/exact-recordings.ts';
import { tapOf } from '../synthetic.ts';

const profile = (
  db: (hz: number) => number,
  trustedHz: readonly [number, number] | null = [12, 19_500],
  sigma = 0.001,
): LevelProfile => ({
  levelDb: gridFrequencyHz.map(db),
  sigmaDb: gridFrequencyHz.map(() => sigma),
  trustedHz,
});
const CLEAN = notMeasurable({ code: 'none seen', driveDbFs: 0 });

/** Flat, 1 dB a setting from -40 dBFS at 0, unless a curve is given. */
function take(
  setting: number,
  of: {
    curve?: (hz: number) => number;
    clips?: boolean;
    trustedHz?: null;
    cleanToTop?: boolean;
    sigma?: number;
    /** Level of its loudest clean tone against the curve's 0 dB. */
    tonesDb?: number;
  } = {},
): TapTake {
  const { curve = () => 0, clips = false, trustedHz, cleanToTop = true, sigma, tonesDb } = of;
  const cleanUpToDbFs = tonesDb === undefined ? undefined : setting - 40 + tonesDb;
  return {
    setting,
    tones: [{ toneHz: 997, onset: clips ? { driveDbFs: -1 } : CLEAN, cleanToTop, cleanUpToDbFs }],
    profile: profile((hz) => setting - 40 + curve(hz), trustedHz === null ? null : undefined, sigma),
  } as unknown as TapTake;
}
/** An octave either side, a little rounded so that its top is at 50 Hz. */
const humpAt50Hz = (db: number) => (hz: number) =>
  hz > 25 && hz < 100 ? db - 0.01 * Math.abs(Math.log2(hz / 50)) : 0;
const LEVEL: CleanLimit = { kind: 'fixed level', levelDbFs: -12.5 };
const clean = (
  takes: readonly TapTake[],
  limit: CleanLimit = LEVEL,
  bassLimit: { toneHz: number; levelDbFs: number } | null = null,
) => cleanSettings({ takes, limit, bassLimit });

describe('the highest clean setting of an output', () => {
  it('is the last recorded one below the limit, and between two by the law, whole settings.', () => {
    expect(clean([take(20), take(24), take(30)])).toEqual({
      highestCleanRecorded: 24,
      firstClippingRecorded: 30,
      highestCleanComputed: 27,
      mostBoostedHz: 997,
      triedHz: [997],
    });
    expect(clean([take(20), take(24)])).toMatchObject({
      highestCleanRecorded: 24,
      firstClippingRecorded: null,
      highestCleanComputed: null,
    });
    expect(clean([take(20), take(28)]).highestCleanComputed).toBe(27);
  });

  it('counts at the most boosted frequency: 4 dB at 50 Hz end it 4 settings sooner.', () => {
    const curve = humpAt50Hz(4);
    const found = clean([take(20, { curve }), take(24, { curve }), take(30, { curve })]);
    expect(found).toMatchObject({
      highestCleanRecorded: 20,
      firstClippingRecorded: 24,
      highestCleanComputed: 23,
    });
    expect(Math.abs(Math.log2(found.mostBoostedHz / 50))).toBeLessThan(0.05);
    // Less than 0.3 dB, or than four standard deviations more, is the usual tone.
    const slight = (db: number, sigma = 0.001) =>
      clean([take(20, { curve: humpAt50Hz(db), sigma })]).mostBoostedHz;
    expect(slight(0.28)).toBe(997);
    expect(slight(0.34)).toBeLessThan(60);
    expect(slight(0.6, 0.1)).toBe(997);
    expect(slight(0.8, 0.1)).toBeLessThan(60);
  });

  it('ends where a tone clipped, whatever the limit says, and is none where all do.', () => {
    expect(clean([take(20), take(24, { clips: true }), take(26)])).toMatchObject({
      highestCleanRecorded: 20,
      firstClippingRecorded: 24,
    });
    expect(clean([take(20, { clips: true })])).toMatchObject({
      highestCleanRecorded: null,
      firstClippingRecorded: 20,
      highestCleanComputed: null,
    });
    expect(clean([take(20), take(24)], { kind: 'fixed drive' })).toMatchObject({
      highestCleanRecorded: null,
      firstClippingRecorded: 20,
    });
  });

  it('without a clip anywhere goes as far as a tone was as loud, and says what is not known.', () => {
    const none: CleanLimit = { kind: 'none seen', cleanUpToDbFs: -16 };
    expect(clean([take(20), take(24)], none)).toMatchObject({ highestCleanRecorded: 24 });
    expect(clean([take(20), take(24)], { ...none, cleanUpToDbFs: -16.09 })).toMatchObject({
      highestCleanRecorded: 24,
    });
    expect(clean([take(20), take(24)], { ...none, cleanUpToDbFs: -16.11 })).toMatchObject({
      highestCleanRecorded: 20,
      notKnown: { settings: [24], because: 'no tone was as loud' },
    });
    expect(clean([take(24, { cleanToTop: false })], { ...none, cleanUpToDbFs: -30 }).notKnown?.because).toBe(
      'noise',
    );
    expect(clean([take(20), take(24)], none)).not.toHaveProperty('notKnown');
  });

  it('with music goes as far as every tone was clean, where only what music leaves lower would be louder.', () => {
    const none: CleanLimit = { kind: 'none seen', cleanUpToDbFs: -16 };
    const upTo = (curve: (hz: number) => number, of: { tonesDb?: number; cleanToTop?: boolean } = {}) =>
      clean([take(18, { curve, tonesDb: 0 }), take(24, { curve, tonesDb: 0, ...of })], none);
    const treble = (db: number) => (hz: number) =>
      hz > 7000 ? db - 0.01 * Math.abs(Math.log2(hz / 14_000)) : 0;
    const bass = upTo(humpAt50Hz(1.9));
    expect(bass).toMatchObject({ highestCleanRecorded: 18, asLoudAsPlayed: { setting: 24 } });
    expect(Math.abs(bass.asLoudAsPlayed!.louderByDb - 1.9)).toBeLessThan(0.1);
    expect(Math.abs(Math.log2(bass.asLoudAsPlayed!.atHz / 50))).toBeLessThan(0.05);
    expect(upTo(humpAt50Hz(2.4))).not.toHaveProperty('asLoudAsPlayed');
    expect(upTo(treble(5.8)).asLoudAsPlayed?.setting).toBe(24);
    expect(upTo(treble(6.2)).asLoudAsPlayed?.setting).toBe(18);
    // A tone 3 dB below full scale, played 6 dB louder: full-scale treble at 18 is no louder than it was.
    const quieterTones = { kind: 'none seen', cleanUpToDbFs: -19 } as const;
    expect(
      clean([take(18, { curve: treble(2.9) }), take(24, { curve: treble(2.9) })], quieterTones),
    ).toMatchObject({
      highestCleanRecorded: 18,
      asLoudAsPlayed: { setting: 24 },
    });
    // Not where noise hid a tone, where some tone clipped, or where a transformer saturates below them.
    expect(upTo(humpAt50Hz(1.9), { cleanToTop: false })).not.toHaveProperty('asLoudAsPlayed');
    const takes = [take(18, { curve: humpAt50Hz(1.9), tonesDb: 0 })];
    expect(clean(takes)).not.toHaveProperty('asLoudAsPlayed');
    expect(clean(takes, { ...none, cleanUpToDbFs: -60 }, { toneHz: 55, levelDbFs: 0 })).not.toHaveProperty(
      'asLoudAsPlayed',
    );
    // Nothing to add where the level itself was tried.
    expect(upTo(() => 0)).not.toHaveProperty('asLoudAsPlayed');
  });

  it('is not known of bass below the tone where a transformer saturates: volts that fall with the frequency.', () => {
    // 55 Hz saturates at -14 dBFS, 27.5 Hz at -20.02 (its flux is the integral of its volts).
    const bass = { toneHz: 55, levelDbFs: -14 };
    expect(clean([take(18)], LEVEL, bass)).toMatchObject({ highestCleanRecorded: 18 });
    expect(clean([take(20)], LEVEL, bass)).toMatchObject({
      highestCleanRecorded: null,
      notKnown: { because: 'no tone was as low' },
    });
    expect(clean([take(20), take(30)], LEVEL, { toneHz: 55, levelDbFs: 0 }).highestCleanComputed).toBeNull();
  });

  it('leaves out a take of which nothing is heard.', () => {
    expect(clean([take(20), take(22, { trustedHz: null }), take(24)])).toMatchObject({
      highestCleanRecorded: 24,
      notKnown: { settings: [22], because: 'no tone was as loud' },
    });
  });
});

describe('volts of a level', () => {
  it('are the scale’s times the level; calibration and level are uncertain by the root of their squares.', () => {
    const measurement = { ...recording({}), voltsPerFullScale: { volts: 10, relativeUncertainty: 0.03 } };
    // 0.3474 dB are 4 %: 3 and 4 % are 5 %.
    expect(tapVoltsRms(measurement, { levelDbFs: -20, plusMinusDb: (20 / Math.LN10) * 0.04 })).toEqual({
      value: expect.closeTo(1, 9),
      plusMinus: expect.closeTo(0.05, 9),
    });
    expect(tapVoltsRms(recording({ volts: null }), { levelDbFs: 0, plusMinusDb: 0 })).toMatchObject({
      notMeasurable: { code: 'recording not calibrated' },
    });
  });
});

describe('what an output carries', () => {
  const routed = (
    leftDb: number | null,
    rightDb: number | null,
    of: { inverted?: boolean; side?: 'left' | 'right' | 'both' | 'unknown'; delaySeconds?: number } = {},
  ) => {
    const { inverted = false, side = 'left', delaySeconds = 0 } = of;
    return findRouting({
      tap: tapOf({ side }),
      measurements: [
        recording({
          left: leftDb === null ? null : { gainDb: leftDb },
          right: rightDb === null ? null : { gainDb: rightDb, inverted, delaySeconds },
        }),
      ],
    });
  };

  it('is one side where the other lies 20 dB below it, else both, with their levels.', () => {
    expect(routed(0, -20.1)).toMatchObject({
      carries: 'left',
      leftDb: 0,
      rightDb: expect.closeTo(-20.1, 3),
      agreesWithSession: true,
    });
    expect(routed(0, -19.9)).toMatchObject({ carries: 'left and right', agreesWithSession: false });
    expect(routed(-20.1, 0)).toMatchObject({
      carries: 'right',
      leftDb: expect.closeTo(-20.1, 3),
      rightDb: 0,
      agreesWithSession: false,
    });
    expect(routed(-19.9, 0).carries).toBe('left and right');
    expect(routed(null, null)).toMatchObject({ carries: 'nothing', leftDb: null, rightDb: null });
  });

  it('is a difference where the sides are against each other, not where they are merely late.', () => {
    expect(routed(0, -6, { inverted: true }).carries).toBe('difference');
    expect(routed(0, -6).carries).toBe('left and right');
    expect(routed(0, 0, { delaySeconds: 0.005, inverted: true }).carries).toBe('left and right');
  });

  it('agrees with what was noted, or with a side that nobody noted.', () => {
    const agrees = (side: 'left' | 'right' | 'both' | 'unknown', right: number | null) =>
      routed(0, right, { side }).agreesWithSession;
    expect([agrees('both', 0), agrees('both', null), agrees('unknown', null), agrees('right', null)]).toEqual(
      [true, false, true, false],
    );
  });

  it('is read at the setting that stands clearest.', () => {
    const narrow = recording({ left: {}, right: {}, setting: 20, trustedHz: [100, 200] });
    const wide = recording({ left: {}, setting: 24 });
    for (const measurements of [
      [narrow, wide],
      [wide, narrow],
    ])
      expect(findRouting({ tap: tapOf(), measurements })).toMatchObject({
        carries: 'left',
        evidence: [{ setting: 24 }],
      });
  });
});
