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
import { FULL_RANGE, gainDb, pair, planInput, type SyntheticRadio } from './synthetic.ts';

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

describe('a plan with all the parts', () => {
  const radio: SyntheticRadio = {
    taps: [
      ...pair('front', { band: { ...FULL_RANGE, fixedEq: [{ frequencyHz: 2500, gainDb: 4, q: 1 }] } }),
      ...pair('rear', { band: FULL_RANGE }),
    ],
    settings: [12, 16, 20, 24, 28, 32],
    volts: { at: 30, rms: 6.85 },
    railVoltsPeak: 12.6,
    equipment: {
      converter: { inputs: 4, inputLimitVoltsRms: 6, eqBands: 5, outputLimitVoltsRms: 4 },
      amplifiers: [
        { name: 'mains', feeds: ['front', 'rear'], channels: 4, ratedWatts: 75 },
        { name: 'mono', feeds: ['subwoofer'], ratedWatts: 500, gainOverlapDb: 10 },
      ],
      woofer: { areaCm2: 210, peakTravelMm: 9, resonanceHz: 38, qts: 0.55, vasLitres: 14, boxLitres: 10 },
      supplyWire: { lengthMetres: 5, awg: 8, fuseAmps: 80 },
      seat: {
        frequencyHz: [63, 80],
        subwooferDb: [0, 0],
        mainsDb: [-2, 0],
        bothDb: [-4, -6],
        bothSubwooferInvertedDb: [4.9, 5.7],
      },
    },
  };
  const plan = recommend(planInput(radio));

  it('puts a pad before inputs that 8.6 V would overdrive', () => {
    const [pad] = recommendationsOf(plan, 'pad');
    expect(pad.outputVoltsRms).toBeLessThanOrEqual(6);
    expect(pad.outputVoltsRms).toBeGreaterThan(5.5);
  });

  it('finds an 8 AWG wire too thin for 89 A, and its fuse too large for it', () => {
    const [supply] = recommendationsOf(plan, 'supply');
    // 4 x 75 W + 500 W at 75 % and 14.4 V.
    expect(supply.currentAmps).toBeCloseTo(800 / 0.75 / 14.4, 6);
    expect(supply.wire!.verdict).toBe('too thin');
    expect(supply.fuseAmps).toBe(40);
    expect(supply.cautions).toContainEqual({
      code: 'fuse too large',
      amps: expect.any(Number),
      atMostAmps: 40,
    });
    expect(supply.thinnest!.copperMm2).toBeLessThan(supply.thinnest!.cladMm2);
  });

  it('inverts a subwoofer that the seat shows to be against the mains', () => {
    const [seat] = recommendationsOf(plan, 'seat');
    expect(seat).toMatchObject({ polarity: 'inverted', handOverHz: 80 });
    if (isNotMeasurable(seat.phaseDegrees)) throw new Error(reasonText(seat.phaseDegrees.notMeasurable));
    expect(seat.phaseDegrees.value).toBeGreaterThan(140);
  });

  it('says that a small woofer is heard and not felt', () => {
    const [reach] = recommendationsOf(plan, 'bass-reach');
    expect(reach.volumeCm3Peak).toBeCloseTo(189, 9);
    expect(reach.felt).toBe(false);
    expect(reach.lowestHzAtTarget).toBeCloseTo(40 * (233.659 / 189) ** 0.5, 1);
  });

  // Small 1972 and 1973: level by watts in the closed box, and by area times travel; the lesser counts, the filter is taken off.
  it('counts travel, power, count and the high-pass together', () => {
    const parts = { areaCm2: 480, peakTravelMm: 20, resonanceHz: 30, qts: 0.5, vasLitres: 60, boxLitres: 40 };
    const reachWith = (more: object) =>
      recommendationsOf(
        recommend(
          planInput({
            ...radio,
            equipment: {
              ...radio.equipment,
              amplifiers: [{ feeds: ['subwoofer'], ratedWatts: 20 }],
              woofer: { ...parts, targetDb: 100, ...more },
            },
          }),
        ),
        'bass-reach',
      )[0];
    const box = closedBox(parts);
    const byPower = (hz: number, count: number) =>
      ONE_ACOUSTIC_WATT_DB + 10 * Math.log10(20 * count * referenceEfficiency(parts)) + closedBoxDb(box, hz);
    const one = reachWith({});
    expect(byPower(one.lowestHzAtTarget, 1)).toBeCloseTo(100, 0);
    expect(travelLimitedDb({ volumeCm3: 960, frequencyHz: one.lowestHzAtTarget })).toBeGreaterThan(101);
    const two = reachWith({ count: 2 });
    expect(byPower(two.lowestHzAtTarget, 2)).toBeCloseTo(100, 0);
    expect(two.lowestHzAtTarget).toBeLessThan(one.lowestHzAtTarget);
    const ported = reachWith({ box: 'ported', tuningHz: 32 });
    expect(ported.box).toBeNull();
    expect(ported.reasons).toContainEqual({ code: 'ported box', tuningHz: 32 });
    expect(reachWith({ targetDb: 130 })).toMatchObject({ reachesTarget: false });
  });

  it('names the frequency below which 200 W drive its cones past their travel, and cuts what is no music', () => {
    const [reach] = recommendationsOf(plan, 'bass-reach');
    const lowest = reach.travelLimitsBelowHz!;
    const box = closedBox({ resonanceHz: 38, qts: 0.55, vasLitres: 14, boxLitres: 10 });
    const watts = recommendationsOf(plan, 'amplifier-gain').find(
      ({ output }) => output === 'subwoofer',
    )!.wattsAtLoad;
    const playsDb = (hz: number) =>
      ONE_ACOUSTIC_WATT_DB +
      10 * Math.log10(watts * referenceEfficiency({ resonanceHz: 38, qts: 0.55, vasLitres: 14 })) +
      closedBoxDb(box, hz);
    expect(playsDb(lowest)).toBeGreaterThan(travelLimitedDb({ volumeCm3: 189, frequencyHz: lowest }));
    expect(playsDb(lowest + 1)).toBeLessThanOrEqual(
      travelLimitedDb({ volumeCm3: 189, frequencyHz: lowest + 1 }),
    );
    expect(recommendationsOf(plan, 'filter').at(-1)).toMatchObject({
      output: 'subwoofer',
      type: 'high-pass',
      cornerHz: Math.min(35, lowest),
    });
  });

  it('says when a converter cannot amplify enough, and what it gives then', () => {
    const weak = {
      ...radio,
      volts: { at: 30, rms: 0.6 },
      equipment: {
        ...radio.equipment,
        converter: { ...radio.equipment!.converter!, gainRangeDb: [-20, 6] as [number, number] },
      },
    };
    const short = recommend(planInput(weak));
    const [level] = recommendationsOf(short, 'converter-level');
    if (isNotMeasurable(level.gainDb)) throw new Error(reasonText(level.gainDb.notMeasurable));
    expect(level.gainDb.value).toBeCloseTo(6, 9);
    expect(level.outputVoltsRms).toBeLessThan(4);
    expect(level.reasons).toContainEqual({ code: 'converter at its top' });
    // What the line lacks, the amplifier's gain makes up for.
    const gain = recommendationsOf(short, 'amplifier-gain').find(({ output }) => output === level.output)!;
    expect(gain.sensitivityVoltsRms).toBeLessThan(level.outputVoltsRms);
  });

  it('undoes the fixed EQ with as many bands as it has', () => {
    const bands = recommendationsOf(plan, 'equalizer').filter(({ output }) => output === 'front');
    expect(bands[0].bands).toEqual([{ shape: 'peak', frequencyHz: 2500, gainDb: -4, q: 1 }]);
  });

  it('follows the volts from tap to speaker: 8.62 V, 4.0 V and full output, overlap taken out', () => {
    const mains = recommendationsOf(plan, 'gain-structure').find(({ output }) => output === 'front')!;
    const volts = mains.nodes.map(({ voltsRms }) =>
      isNotMeasurable(voltsRms) ? Number.NaN : voltsRms.value,
    );
    expect(volts[0]).toBeCloseTo(8.62, 2);
    expect(volts[2]).toBeCloseTo(4, 6);
    // The line is named by its 55 Hz, the amplifier is full at its loudest frequency: 0.1 dB of ripple lie between.
    expect(volts[3] / Math.sqrt(75 * 4)).toBeCloseTo(1, 2);
    // The pad in front keeps the input below its 8 V.
    expect(volts[1]).toBeLessThanOrEqual(8);
    expect(mains.clipsFirst).toBe('converter output');
    const sub = recommendationsOf(plan, 'gain-structure').find(({ output }) => output === 'subwoofer')!;
    expect(sub.nodes[3].headroomDb).toBeCloseTo(-10, 6);
    expect(sub.spreadDb).toBeLessThan(1);
  });

  it('gives the high-pass and low-pass one corner and one slope', () => {
    const filters = recommendationsOf(plan, 'filter');
    expect(filters.map(({ output, type }) => `${output} ${type}`)).toEqual([
      'front high-pass',
      'rear high-pass',
      'subwoofer low-pass',
      'subwoofer high-pass',
    ]);
    const handOver = filters
      .slice(0, 3)
      .map(({ cornerHz, slopeDbPerOctave }) => `${cornerHz} ${slopeDbPerOctave}`);
    expect(new Set(handOver).size).toBe(1);
  });

  it('names the take that confirms the radio years later', () => {
    const [confirm] = recommendationsOf(plan, 'confirm');
    expect(confirm).toMatchObject({ withinDb: 0.5, toneHz: 100 });
    if (isNotMeasurable(confirm.voltsRms)) throw new Error(reasonText(confirm.voltsRms.notMeasurable));
    expect(confirm.voltsRms.value).toBeCloseTo(6.85 * 10 ** ((confirm.setting - 30) / 20), 3);
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
