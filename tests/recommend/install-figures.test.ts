import { describe, expect, it } from 'vitest';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import {
  closedBox,
  closedBoxDb,
  ONE_ACOUSTIC_WATT_DB,
  referenceEfficiency,
} from '../../src/recommend/bass/closed-box.ts';
import { lowestHzAt, travelLimitedDb, volumeCm3Peak } from '../../src/recommend/bass/displacement.ts';
import { noiseShares } from '../../src/recommend/chain/gain-structure.ts';
import { padFor, ratingFor } from '../../src/recommend/install/pad-resistors.ts';
import {
  awgFor,
  mm2OfAwg,
  nearestAwg,
  supplyCurrentAmps,
  wireOhms,
} from '../../src/recommend/install/wire.ts';
import { phaseDegrees } from '../../src/recommend/seat/seat-takes.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { recommend } from './recommend.ts';
import { FULL_RANGE, gainDb, pair, planInput } from './synthetic.ts';

const within = (found: number, expected: number, relative: number) =>
  expect(Math.abs(found / expected - 1)).toBeLessThan(relative);

// ASTM B258 gauges; resistances at 20 degrees Celsius as published in wire tables (ohm/km), copper by NBS Handbook 100.
describe('wire', () => {
  it.each([
    [0, 53.4751, 0.32241],
    [4, 21.1506, 0.81515],
    [8, 8.3656, 2.06095],
    [12, 3.3088, 5.21069],
    [18, 0.823, 20.94778],
  ])('of gauge %d has the cross-section and the milliohms a metre of the tables', (awg, mm2, milliohms) => {
    within(mm2OfAwg(awg), mm2, 1e-4);
    within(1000 * wireOhms({ mm2: mm2OfAwg(awg), metres: 1, metal: 'copper' }), milliohms, 1e-3);
  });

  it('of copper-clad aluminium has 1.59 times the resistance (ASTM B566, 10 % copper: 62.9 % of copper)', () => {
    within(1000 * wireOhms({ mm2: mm2OfAwg(4), metres: 1, metal: 'copper-clad aluminium' }), 1.29595, 1e-3);
  });

  // Worked: 50 A through 5 m of 4 AWG is 0.20379 V, 8 AWG 0.51524 V; 500 W at 75 % and 14.4 V is 46.296 A.
  it('drops what the worked examples say', () => {
    within(50 * wireOhms({ mm2: mm2OfAwg(4), metres: 5, metal: 'copper' }), 0.20379, 1e-3);
    within(50 * wireOhms({ mm2: mm2OfAwg(8), metres: 5, metal: 'copper' }), 0.51524, 1e-3);
    within(supplyCurrentAmps({ watts: 500, efficiency: 0.75, volts: 14.4 }), 46.296, 1e-4);
    within(supplyCurrentAmps({ watts: 200, efficiency: 0.5, volts: 14.4 }), 27.778, 1e-4);
  });

  it('is named by the even gauge that is at least as thick', () => {
    for (const awg of [0, 2, 4, 6, 8, 10, 12]) expect(awgFor(mm2OfAwg(awg))).toBe(awg);
    expect(awgFor(20)).toBe(4);
    expect(awgFor(22)).toBe(2);
    // 25 mm² lies between AWG 3 (26.67 mm²) and AWG 4 (21.15 mm²); 16 mm² as a least size is bought as AWG 4.
    expect(nearestAwg(25)).toBe(3);
    expect(awgFor(16)).toBe(4);
  });
});

// Small, "Closed-Box Loudspeaker Systems", JAES 1972: fc, Qtc, -3 dB point and peak worked from his formulas.
describe('a closed box', () => {
  it.each([
    [50, 43.3013, 0.69282, 44.2126, 0],
    [25, 55.9017, 0.894427, 46.5363, 0.6582],
    [20, 61.2372, 0.979796, 48.5942, 1.1328],
  ])('of %d litres on a 25 Hz, Q 0.4, 100 litre woofer', (boxLitres, fc, q, minus3Hz, peakDb) => {
    const box = closedBox({ resonanceHz: 25, qts: 0.4, vasLitres: 100, boxLitres });
    within(box.resonanceHz, fc, 1e-5);
    within(box.q, q, 1e-5);
    within(box.minus3Hz, minus3Hz, 1e-5);
    expect(box.peakDb).toBeCloseTo(peakDb, 4);
    expect(closedBoxDb(box, fc)).toBeCloseTo(20 * Math.log10(q), 4);
    expect(closedBoxDb(box, minus3Hz)).toBeCloseTo(-3.0103, 3);
    if (box.peakHz !== null) expect(closedBoxDb(box, box.peakHz)).toBeCloseTo(peakDb, 4);
  });
});

// Small: 4 pi^2 / c^3 fs^3 Vas / Qes, often written 9.64e-10 fs^3 Vas with litres (from memory; c 344.7 m/s there).
it('gives a woofer the efficiency of the handbook formula, and one acoustic watt 112.1 dB', () => {
  within(
    referenceEfficiency({ resonanceHz: 25, qts: 0.45, vasLitres: 100 }),
    (9.64e-10 * 25 ** 3 * 100) / 0.45,
    0.01,
  );
  // 0.0617360 W is 100 dB by the displacement of 238.431 cm3 at 40 Hz (same density and speed of sound).
  expect(ONE_ACOUSTIC_WATT_DB + 10 * Math.log10(0.061736)).toBeCloseTo(100, 2);
});

// Point source on a half space, p = rho (2 pi f)^2 V / (2 pi r sqrt 2), rho 1.2041: worked values.
describe('sound that travel allows', () => {
  it.each([
    [20, 94.567],
    [40, 106.608],
    [80, 118.649],
  ])('of 500 cm3 at %d Hz', (frequencyHz, db) => {
    expect(travelLimitedDb({ volumeCm3: 500, frequencyHz })).toBeCloseTo(db, 2);
  });

  it('of 480 cm2 and 12 mm at 40 Hz is 107.8 dB', () => {
    const volumeCm3 = volumeCm3Peak({ areaCm2: 480, peakTravelMm: 12, count: 1 });
    expect(volumeCm3).toBeCloseTo(576, 9);
    expect(travelLimitedDb({ volumeCm3, frequencyHz: 40 })).toBeCloseTo(107.837, 2);
  });

  it.each([
    [934.636, 20],
    [233.659, 40],
    [58.415, 80],
  ])('reaches 100 dB with %d cm3 down to %d Hz', (volumeCm3, hz) => {
    within(lowestHzAt({ volumeCm3, levelDb: 100 }), hz, 1e-4);
  });
});

// Worked: 20 uV and 10 uV add to 22.3607 uV; through 26 dB 446.154 uV; 93.031 dB under 20 V.
it('adds the noise of stages in power', () => {
  const gain = 10 ** (26 / 20);
  const noise = noiseShares({
    radioVolts: 20e-6,
    converterVolts: 10e-6,
    amplifierVolts: 0,
    gainTapToSpeaker: gain,
    amplifierGain: gain,
  });
  within(noise.atSpeakerVolts, 446.154e-6, 1e-5);
  expect(20 * Math.log10(20 / noise.atSpeakerVolts)).toBeCloseTo(93.031, 3);
  expect(noise.shares.map(({ share }) => share)).toEqual([expect.closeTo(0.8, 9), expect.closeTo(0.2, 9), 0]);
});

describe('a pad', () => {
  it('is bought for twice its dissipation: 0.68 W needs more than a half-watt part', () => {
    expect(ratingFor(0.680043)).toBe(2);
    expect(ratingFor(0.0826)).toBe(0.25);
  });

  it('keeps an input below its limit, and no other pair of E24 values comes nearer (tried in turn)', () => {
    const wanted = { inputVolts: 14, outputVolts: 8, loadOhms: 10_000 };
    const found = padFor(wanted)!;
    expect(found.outputVoltsRms).toBeLessThanOrEqual(8);
    const series = [
      10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
    ];
    let nearest = 0;
    for (const one of series.flatMap((value) => [value, value * 10, value * 100])) {
      for (const two of series.flatMap((value) => [value, value * 10, value * 100])) {
        const loaded = (two * 10_000) / (two + 10_000);
        const out = (14 * loaded) / (0.1 + one + loaded);
        const stiff = 1 / (1 / two + 1 / (one + 0.1)) <= 1000;
        if (
          one >= 100 &&
          one <= 4700 &&
          two <= 4700 &&
          out <= 8 &&
          one + loaded >= 470 &&
          one + loaded <= 4700 &&
          stiff
        )
          nearest = Math.max(nearest, out);
      }
    }
    expect(found.outputVoltsRms).toBeCloseTo(nearest, 9);
  });
});

// Law of cosines; |1 + exp(j phi)| as in any table of phasor sums.
describe('phase at the seat from three magnitudes', () => {
  it.each([
    [6.0206, 0],
    [4.7712, 60],
    [3.0103, 90],
    [0, 120],
    [-5.7195, 150],
  ])('a sum of %d dB of two equals is %d degrees', (bothDb, degrees) => {
    const phase = phaseDegrees({ subwooferDb: 0, mainsDb: 0, bothDb });
    if (isNotMeasurable(phase)) throw new Error(reasonText(phase.notMeasurable));
    expect(phase.value).toBeCloseTo(degrees, 1);
  });

  it('cannot be told where one is far stronger, or where the takes contradict each other', () => {
    expect(phaseDegrees({ subwooferDb: 0, mainsDb: -20, bothDb: 0 })).toHaveProperty('notMeasurable');
    expect(phaseDegrees({ subwooferDb: 0, mainsDb: 0, bothDb: 9 })).toHaveProperty('notMeasurable');
  });
});

describe('the subwoofer output’s volume law', () => {
  it('is said to fall behind where it loses 4 dB over the settings', () => {
    const taps = [
      ...pair('front', { band: FULL_RANGE }),
      ...pair('subwoofer', { response: (_, setting) => gainDb(setting > 20 ? -4 : 0) }),
    ];
    const input = planInput({ taps, settings: [12, 20, 28], volts: null });
    const findings = input.findings.map((finding) =>
      finding.kind === 'volume-law' && finding.tapIds[0].startsWith('subwoofer')
        ? {
            ...finding,
            levels: finding.levels.map((level) => ({
              ...level,
              levelDbFs: level.levelDbFs - (level.setting > 20 ? 4 : 0),
            })),
          }
        : finding,
    );
    const [law] = recommendationsOf(recommend({ ...input, findings }), 'subwoofer-law');
    expect(law.verdict).toBe('falls behind');
    expect(law.perSetting.at(-1)!.againstMainsDb).toBeCloseTo(-4, 6);
  });
});
