import { describe, expect, it } from 'vitest';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { gridFrequencyHz, valueAt } from '../../../src/model/frequency-grid.ts';
import { bassReach } from '../../../src/recommend/bass/bass-reach.ts';
import { boostLaw, predictedBass } from '../../../src/recommend/bass/boost-law.ts';
import { closedBox, closedBoxDb, referenceEfficiency } from '../../../src/recommend/bass/closed-box.ts';
import { lowestHzAt, travelLimitedDb, volumeCm3Peak } from '../../../src/recommend/bass/displacement.ts';
import {
  atLeastReason,
  beyondReasons,
  holdsUpTo,
  lossOf,
  mostNeededDb,
  reachHz,
} from '../../../src/recommend/bass/restoration-reach.ts';
import type { SolvedFeed } from '../../../src/recommend/chain/solved-feed.ts';
import { bassDb, contextOf } from '../chain/context.ts';

const need = (setting: number, db: number, belowHz = 150) => ({ setting, neededDb: bassDb(db, belowHz) });

describe('a woofer in a closed box (Small, JAES 1972)', () => {
  it('has its resonance and Q raised by the root of 1 + Vas / Vb; flat at 0.7071, -3 dB at resonance.', () => {
    const box = closedBox({ resonanceHz: 30, qts: Math.SQRT1_2 / 2, vasLitres: 60, boxLitres: 20 });
    expect(box).toMatchObject({
      resonanceHz: 60,
      q: expect.closeTo(Math.SQRT1_2, 12),
      minus3Hz: expect.closeTo(60, 9),
    });
    expect(closedBoxDb(box, 60)).toBeCloseTo(-3.0103, 4);
    expect(closedBoxDb(box, 30)).toBeCloseTo(-12.3045, 4);
    expect(closedBoxDb(box, 6000)).toBeCloseTo(0, 3);
  });

  it('peaks above that: Q = 1 by 1.249 dB at 1.414 times its resonance, -3 dB at 0.786.', () => {
    const box = closedBox({ resonanceHz: 30, qts: 0.5, vasLitres: 60, boxLitres: 20 });
    expect(box.peakDb).toBeCloseTo(1.2494, 4);
    expect(box.peakHz).toBeCloseTo(60 * Math.SQRT2, 6);
    expect(box.minus3Hz).toBeCloseTo(60 * 0.78615, 3);
    expect(closedBox({ resonanceHz: 30, qts: 0.3, vasLitres: 60, boxLitres: 20 })).toMatchObject({
      peakDb: 0,
      peakHz: null,
    });
  });

  it('turns 4 pi^2 / c^3 fs^3 Vas / Q of its watts into sound: 0.39 % for 30 Hz, 100 litres, 0.66.', () => {
    expect(referenceEfficiency({ resonanceHz: 30, qts: 0.66, vasLitres: 100 })).toBeCloseTo(
      ((4 * Math.PI ** 2) / 345 ** 3) * ((27_000 * 0.1) / 0.66),
      9,
    );
  });
});

describe('what cones move', () => {
  it('gives p = rho w^2 V / (2 pi r): 12 dB an octave, 6 dB for twice the volume.', () => {
    expect(volumeCm3Peak({ areaCm2: 480, peakTravelMm: 12, count: 2 })).toBe(1152);
    const at = (volumeCm3: number, frequencyHz: number) => travelLimitedDb({ volumeCm3, frequencyHz });
    expect(at(1000, 80) - at(1000, 40)).toBeCloseTo(12.0412, 4);
    expect(at(2000, 40) - at(1000, 40)).toBeCloseTo(6.0206, 4);
    expect(lowestHzAt({ volumeCm3: 1000, levelDb: at(1000, 25) })).toBeCloseTo(25, 6);
  });

  const reach = (
    watts: number | null,
    woofer: object = {},
    highPass: Parameters<typeof bassReach>[2] = null,
  ) => {
    const equipment = {
      woofer: {
        areaCm2: 480,
        peakTravelMm: 12,
        resonanceHz: 28,
        qts: 0.4,
        vasLitres: 90,
        boxLitres: 40,
        targetDb: 110,
        ...woofer,
      },
    } as unknown as EquipmentInput;
    // Nobody knows the watts without an amplifier's gain.
    const outputVolts = watts === null ? null : Math.sqrt(watts * 4);
    const chains = [{ output: 'subwoofer', levels: { outputVolts }, load: { load: { ohms: 4 } } }];
    return bassReach(contextOf({ equipment }), chains as unknown as SolvedFeed[], highPass)[0];
  };

  it('ends their level below the frequency at which the amplifier’s watts would move them further.', () => {
    const hz = reach(800).travelLimitsBelowHz!;
    const box = closedBox({ resonanceHz: 28, qts: 0.4, vasLitres: 90, boxLitres: 40 });
    const byPower = (at: number) =>
      112.095 +
      10 * Math.log10(800 * referenceEfficiency({ resonanceHz: 28, qts: 0.4, vasLitres: 90 })) +
      closedBoxDb(box, at);
    const byTravel = (at: number) => travelLimitedDb({ volumeCm3: 576, frequencyHz: at });
    expect(byPower(hz)).toBeGreaterThan(byTravel(hz));
    expect(byPower(hz + 1)).toBeLessThanOrEqual(byTravel(hz + 1));
    // A little power never gets there, much gets there sooner; two woofers with the same watts have twice the travel.
    expect(reach(1).travelLimitsBelowHz).toBeUndefined();
    expect(reach(1600).travelLimitsBelowHz!).toBeGreaterThan(hz);
    expect(reach(800, { count: 2 }).travelLimitsBelowHz!).toBeLessThan(hz);
  });

  it('is not limited by what nobody knows, nor in a ported box.', () => {
    expect(reach(null).travelLimitsBelowHz).toBeUndefined();
    expect(reach(200, { box: 'ported', tuningHz: 35 })).toMatchObject({ box: null });
    expect(reach(200, { box: 'ported', tuningHz: 35 }).reasons).toContainEqual({
      code: 'ported box',
      tuningHz: 35,
    });
    expect(reach(200, { vasLitres: undefined }).reasons).toContainEqual({ code: 'box not known' });
    expect(bassReach(contextOf(), [])).toEqual([]);
  });

  it('loses to a high-pass what the amplifier gives, not what the travel allows.', () => {
    const free = reach(200);
    const filtered = reach(200, {}, { type: 'high-pass', cornerHz: 60, slopeDbPerOctave: 24 });
    expect(filtered.lowestHzAtTarget).toBeGreaterThanOrEqual(free.lowestHzAtTarget);
    expect(filtered.reasons).toContainEqual({ code: 'high-pass counted in', cornerHz: 60 });
    expect(free.limits.find(({ frequencyHz }) => frequencyHz === 40)!.travelLimitedDb).toBeCloseTo(
      travelLimitedDb({ volumeCm3: 576, frequencyHz: 40 }),
      9,
    );
  });

  it('is as deep as the travel lasts where nobody knows the watts: p = rho w^2 V / (2 pi), to a tenth of a hertz.', () => {
    const pascalRms = 20e-6 * 10 ** (110 / 20);
    const hz = Math.sqrt((pascalRms * 2 * Math.PI * Math.SQRT2) / (1.2041 * 576e-6)) / (2 * Math.PI);
    const { lowestHzAtTarget, reachesTarget, counted } = reach(null);
    expect(lowestHzAtTarget).toBeGreaterThanOrEqual(hz);
    expect(lowestHzAtTarget).toBeLessThan(hz + 0.1001);
    expect({ reachesTarget, counted }).toEqual({ reachesTarget: true, counted: 'travel' });
    // 40 Hz give 107.8 dB, 100 Hz 15.9 dB more: 123.8 dB, and no more is asked for above.
    expect(reach(null, { targetDb: 123.7 }).reachesTarget).toBe(true);
    expect(reach(null, { targetDb: 123.9 })).toMatchObject({
      reachesTarget: false,
      lowestHzAtTarget: expect.closeTo(100.8, 1),
    });
    // Below its tuning a port holds nothing.
    expect(reach(null, { box: 'ported', tuningHz: 50 })).toMatchObject({
      lowestHzAtTarget: 50,
      travelLimitsBelowHz: 50,
      counted: 'travel, ported box',
    });
  });

  it('is felt from 105 dB at 40 Hz.', () => {
    // 576 cm3 at 40 Hz give 107.8 dB; a quarter of them 95.8.
    expect(reach(null, { peakTravelMm: 12 }).felt).toBe(true);
    expect(reach(null, { peakTravelMm: 3 }).felt).toBe(false);
    const said = (watts: number | null, more = {}) =>
      reach(watts, more)
        .reasons.map(({ code }) => code)
        .filter((code) => code.startsWith('bass '));
    // With the watts counted it is said; by the travel alone only that it is not.
    expect(said(200, { peakTravelMm: 12 })).toEqual(['bass is felt']);
    expect(said(200, { peakTravelMm: 3 })).toEqual(['bass fills in']);
    expect(said(null, { peakTravelMm: 12 })).toEqual([]);
    expect(said(null, { peakTravelMm: 3 })).toEqual(['bass fills in']);
  });
});

describe('how far a boost holds', () => {
  const needs = [need(20, 0), need(24, 4), need(28, 9), need(32, 14)];

  it('is up to the last setting before one that needs half a decibel more.', () => {
    expect(holdsUpTo(needs, 12)?.setting).toBe(28);
    expect(holdsUpTo(needs, 8.6)?.setting).toBe(28);
    expect(holdsUpTo(needs, 8.4)?.setting).toBe(24);
    expect(holdsUpTo(needs, 20)?.setting).toBe(32);
    expect(holdsUpTo([need(20, 9)], 4)).toBeUndefined();
  });

  it('is judged from 40 Hz up; what lies below does not count.', () => {
    expect(mostNeededDb(need(20, 9, 38))).toBe(0);
    expect(mostNeededDb(need(20, 9, 45))).toBe(9);
    expect(reachHz(need(20, 14, 60), 12)).toBeGreaterThan(59);
    expect(reachHz(need(20, 14, 60), 12)).toBeLessThan(62);
    expect(reachHz(need(20, 12.4, 60), 12)).toBe(gridFrequencyHz[0]);
  });

  it('says what is lost between the setting that it is held against and the top one.', () => {
    const perSetting = [need(20, 2), need(24, 1), need(28, 9)];
    expect(lossOf({ perSetting, atLeast: false, fromSetting: 20 }).betweenSettings).toEqual([20, 28]);
    const loss = lossOf({ perSetting, atLeast: true, fromSetting: 16 });
    expect(loss).toEqual({ atLeast: true, db: 8, atHz: 40, betweenSettings: [24, 28] });
    expect(atLeastReason(loss)).toEqual({ code: 'loss is at least this', db: 8, atHz: 40, from: 24, to: 28 });
    const codes = (holds: ReturnType<typeof need> | undefined) =>
      beyondReasons({ top: needs[3], holds, mostDb: 12 }).length;
    expect([codes(undefined), codes(needs[2])]).toEqual([1, 3]);
  });

  it('follows the settings, or is half of the most where it is fixed, and never more than it can.', () => {
    const law = (fixed: boolean, mostDb = 12) => boostLaw({ needs, top: needs[3], mostDb, fixed });
    const at50 = (of: (setting: number) => Float64Array, setting: number) => valueAt(of(setting), 50);
    expect([20, 24, 26, 28, 32].map((setting) => at50(law(false), setting))).toEqual([0, 4, 4, 9, 12]);
    expect(at50(law(false), 10)).toBe(0);
    expect([20, 32].map((setting) => at50(law(true), setting))).toEqual([7, 7]);
    expect(at50(law(true, 6), 20)).toBe(6);
    const predicted = predictedBass(needs, law(false))!;
    const last = predicted.settings[3];
    expect(last.beforeDb[0]).toBe(-14);
    expect(last.afterDb[0]).toBe(-2);
    expect(predicted.frequencyHz[0]).toBeGreaterThanOrEqual(25);
    expect(predicted.frequencyHz.at(-1)).toBeLessThanOrEqual(300);
  });
});
