import { describe, expect, it } from 'vitest';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import {
  closedBox,
  closedBoxDb,
  ONE_ACOUSTIC_WATT_DB,
  referenceEfficiency,
} from '../../src/recommend/bass/closed-box.ts';
import { travelLimitedDb } from '../../src/recommend/bass/displacement.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { recommend } from './recommend.ts';
import { FULL_RANGE, pair, planInput, type SyntheticRadio } from './synthetic.ts';

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
