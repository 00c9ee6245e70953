import { describe, expect, it } from 'vitest';
import {
  evaluateSections,
  lowShelfSections,
  peakingSections,
  prototypeSections,
} from '../../src/dsp/filter-prototype.ts';
import type { EquipmentInput } from '../../src/model/equipment.ts';
import type { FindingOf } from '../../src/model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason, measured } from '../../src/model/measured.ts';
import { asWritten, codeOf } from '../../src/model/reason.ts';
import { recommendationSchema, recommendationsOf } from '../../src/model/recommendation.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { someOf } from '../some-of.ts';
import { recommend } from './recommend.ts';
import { FULL_RANGE, gainDb, pair, planInput, type SyntheticRadio } from './synthetic.ts';

const SETTINGS = [12, 16, 20, 24, 28, 32, 36];
const SPEAKER_LEVEL: EquipmentInput = {
  amplifiers: [{ feeds: ['front', 'rear'], ratedWatts: 75, channels: 4, speakerInputLimitVoltsRms: 10 }],
};

function value(answer: MeasuredOrReason): number {
  if (isNotMeasurable(answer)) throw new Error(reasonText(answer.notMeasurable));
  return answer.value;
}

// Answers known by construction: 1 dB of volume a step, the rest arithmetic on the figures of each case.
describe('four flat taps, 6.85 V at setting 30, rail 12.6 V peak', () => {
  const flat: SyntheticRadio = {
    taps: [...pair('front', { band: FULL_RANGE }), ...pair('rear', { band: FULL_RANGE })],
    settings: SETTINGS,
    volts: { at: 30, rms: 6.85 },
    railVoltsPeak: 12.6,
    equipment: SPEAKER_LEVEL,
  };

  it('adds nothing, restores nothing and ends at setting 32 with 8.62 V', () => {
    const plan = recommend(planInput(flat));
    const [clean] = recommendationsOf(plan, 'highest-clean-setting');
    expect(recommendationsOf(plan, 'feed').map(({ summed }) => summed)).toEqual([false, false, false, false]);
    expect(recommendationsOf(plan, 'restoration')).toEqual([]);
    expect(clean).toMatchObject({ recorded: 32, firstClippingRecorded: 36, computed: 32 });
    expect(value(clean.midBandVoltsRms)).toBeCloseTo(6.85 * 10 ** (2 / 20), 2);
  });

  it('asks for the settings that noise hides again, and not for louder ones', () => {
    const told = (because: 'noise' | 'no tone was as loud') => {
      const clean: SyntheticRadio['clean'] = {
        highestCleanRecorded: 28,
        firstClippingRecorded: null,
        highestCleanComputed: null,
        notKnown: { settings: [32, 36], because },
      };
      const plan = recommend(planInput({ ...flat, clipping: { place: 'none seen' }, clean }));
      expect(recommendationsOf(plan, 'highest-clean-setting')[0]).toMatchObject({ recorded: 28 });
      return recommendationsOf(plan, 'record-next').map(({ what }) => what);
    };
    expect(told('noise')).toContainEqual({ code: 'record a setting again with less noise', setting: 32 });
    expect(told('noise').map(codeOf)).not.toContain('record a setting above');
    expect(told('no tone was as loud')).toContainEqual({ code: 'record a setting above', setting: 36 });
  });

  it('needs no converter where the amplifier takes 10 V at speaker level', () => {
    const [order] = recommendationsOf(recommend(planInput(flat)), 'order');
    expect(order).toMatchObject({
      nothingToOrder: true,
      converterClass: 'none',
      summing: false,
      restorationDb: 0,
    });
  });

  it('does need one where the amplifier takes 8 V only', () => {
    const equipment = {
      amplifiers: [{ feeds: ['front', 'rear'] as const, ratedWatts: 75, speakerInputLimitVoltsRms: 8 }],
    };
    const [order] = recommendationsOf(
      recommend(planInput({ ...flat, equipment: equipment as unknown as EquipmentInput })),
      'order',
    );
    expect(order).toMatchObject({ nothingToOrder: false, converterClass: 'gain only' });
  });

  it('ends at 28 with a fixed boost of 4 dB at 50 Hz and still restores nothing', () => {
    const boost = peakingSections({ gainDb: 4, q: 1 });
    const response = (frequencyHz: number) =>
      evaluateSections(boost, { frequencyHz, cornerHz: 50, sampleRateHz: null });
    const taps = [
      ...pair('front', { band: FULL_RANGE, response }),
      ...pair('rear', { band: FULL_RANGE, response }),
    ];
    const plan = recommend(planInput({ ...flat, taps, equipment: null }));
    expect(recommendationsOf(plan, 'highest-clean-setting')[0]).toMatchObject({ recorded: 28 });
    expect(recommendationsOf(plan, 'highest-clean-setting')[0].atHz).toBeCloseTo(50, 0);
    expect(recommendationsOf(plan, 'restoration')[0]).toMatchObject({ verdict: 'none needed', amountDb: 0 });
    expect(recommendationsOf(plan, 'feed').every(({ summed }) => !summed)).toBe(true);
  });

  it('gives no volts and asks first where one leg seems to have been measured', () => {
    const rail: FindingOf<'rail'> = {
      id: 'rail-1',
      kind: 'rail',
      tapIds: ['front left'],
      evidence: [],
      clipVoltsPeak: measured({ value: 6.3, plusMinus: 0.1 }),
      expectedVoltsPeak: [12.4, 13.4],
      verdict: 'half of it',
      question: asWritten('one leg?'),
    };
    const plan = recommend(
      planInput({ ...flat, volts: { at: 30, rms: 3.425 }, railVoltsPeak: 6.3, findings: [rail] }),
    );
    expect(plan[0]).toMatchObject({
      kind: 'record-next',
      blocks: true,
      reasons: expect.arrayContaining([rail.question]),
    });
    const [order] = recommendationsOf(plan, 'order');
    expect(order.worstInputVoltsRms).toHaveProperty('notMeasurable');
    expect(order.nothingToOrder).toBe(false);
    const [clean] = recommendationsOf(plan, 'highest-clean-setting');
    expect(clean.recorded).toBe(32);
    expect(clean.voltsRms).toHaveProperty('notMeasurable');
    for (const level of someOf(recommendationsOf(plan, 'converter-level')))
      expect(level.gainDb).toHaveProperty('notMeasurable');
  });
});

describe('bass that falls by 0, 2, 5 and 8 dB at 20, 24, 28 and 32', () => {
  const LOSS_DB: Record<number, number> = { 24: 2, 28: 5, 32: 8, 36: 8 };
  const losing = (amplifier: { gainOverlapDb?: number }, maximumDb = 12): SyntheticRadio => ({
    // All that is lost is lost below 150 Hz: the loss is the same at 50 Hz and at the 55 Hz meter tone.
    taps: pair('front', {
      band: FULL_RANGE,
      response: (hz, setting) => gainDb(hz < 150 ? -(LOSS_DB[setting] ?? 0) : 0),
    }),
    settings: SETTINGS,
    volts: { at: 32, rms: 8.0 },
    railVoltsPeak: 12.6,
    bassChange: {
      verdict: 'falls with volume',
      plateauSettings: [12, 16, 20],
      onset: { lastIntact: 20, firstChanged: 24, midpoint: 22, atHz: 50, thresholdDb: 0.5 },
      recordNext: 22,
    },
    equipment: {
      converter: {
        inputs: 4,
        inputLimitVoltsRms: 20,
        summing: 'pairs',
        outputLimitVoltsRms: 4,
        restoration: { kind: 'dynamic', maximumDb },
      },
      amplifiers: [
        {
          name: 'mono',
          feeds: ['subwoofer'],
          ratedWatts: 500,
          ratedOhms: 4,
          sensitivityRangeVoltsRms: [0.2, 6],
          ...amplifier,
        },
        { name: 'front', feeds: ['front'], ratedWatts: 75 },
      ],
      speakers: [{ feeds: 'front', factory: true }],
    },
  });

  it('restores 8 dB on the subwoofer feed only, from setting 20 on', () => {
    const plan = recommend(planInput(losing({})));
    expect(recommendationsOf(plan, 'highest-clean-setting')[0].recorded).toBe(32);
    const [restoration, ...others] = recommendationsOf(plan, 'restoration');
    expect(others).toEqual([]);
    expect(restoration).toMatchObject({
      verdict: 'restore',
      output: 'subwoofer',
      fromSetting: 20,
      toSetting: 32,
      limitedBy: 'nothing',
    });
    expect(restoration.amountDb).toBeCloseTo(8, 6);
    const front = recommendationsOf(plan, 'converter-level').find(({ output }) => output === 'front')!;
    expect(front.targets.every(({ restoration: state }) => state === 'none')).toBe(true);
  });

  it('asks for setting 22 to be recorded next', () => {
    const items = recommendationsOf(recommend(planInput(losing({}))), 'record-next');
    expect(items.flatMap(({ settings }) => settings)).toContain(22);
  });

  // Common practice: without a reference nobody knows how much to restore, and a third low setting gives one.
  it('asks first for the setting that a loss without a reference lacks', () => {
    const plan = recommend(
      planInput({
        ...losing({}),
        bassChange: {
          verdict: 'cannot be told',
          reason: { code: 'no three settings agree' },
          plateauSettings: [],
          onset: null,
          recordNext: 12,
        },
      }),
    );
    expect(recommendationsOf(plan, 'record-next')[0]).toMatchObject({
      reasons: [{ code: 'no three settings agree' }],
      what: { code: 'record these settings', settings: [12] },
      blocks: true,
    });
  });

  it('sets the converter to -6.0 dB and 4.0 V', () => {
    const level = recommendationsOf(recommend(planInput(losing({}))), 'converter-level').find(
      ({ output }) => output === 'subwoofer',
    )!;
    expect(value(level.gainDb)).toBeCloseTo(-6.02, 2);
    expect(level.outputVoltsRms).toBeCloseTo(4, 6);
    expect(level.limitAssumed).toBe(false);
  });

  // V = sqrt(P R): 500 W into 4 ohm is 44.7214 V (closed form). 4 V less 5 dB is 2.249 V.
  it('sets the amplifier to 4.0 V without gain overlap and to 2.25 V with 5 dB', () => {
    const gain = (overlap: number) =>
      recommendationsOf(recommend(planInput(losing({ gainOverlapDb: overlap }))), 'amplifier-gain').find(
        ({ output }) => output === 'subwoofer',
      )!;
    expect(gain(0).fullOutputVoltsRms).toBeCloseTo(44.7214, 3);
    expect(gain(0).sensitivityVoltsRms).toBeCloseTo(4, 3);
    expect(gain(5).sensitivityVoltsRms).toBeCloseTo(2.249, 2);
  });

  it('reads 44.7 V restored and 17.8 V not restored with the -5 dBFS bass tone and 5 dB of overlap', () => {
    const gain = recommendationsOf(recommend(planInput(losing({ gainOverlapDb: 5 }))), 'amplifier-gain').find(
      ({ output }) => output === 'subwoofer',
    )!;
    const reading = (state: string) =>
      gain.targets.find(
        (target) => target.toneHz === 55 && target.driveDbFs === -5 && target.restoration === state,
      )!;
    expect(value(reading('on').voltsRms)).toBeCloseTo(44.7, 1);
    expect(value(reading('off').voltsRms)).toBeCloseTo(17.8, 1);
    expect(reading('on').watts).toBeCloseTo(500, 0);
    expect(reading('off').setBy).toBe(true);
    expect(
      gain.targets.find(
        (target) => target.toneHz === 55 && target.driveDbFs === 0 && target.restoration === 'on',
      )!.overLimit,
    ).toBe(true);
  });

  it('leaves -2 dB at 32 where the converter gives 6 dB only, and says which limit binds', () => {
    const plan = recommend(planInput(losing({}, 6)));
    const [restoration] = recommendationsOf(plan, 'restoration');
    expect(restoration).toMatchObject({ amountDb: 6, limitedBy: 'the converter' });
    expect(restoration.settings.at(-1)!.residualDb[2]).toBeCloseTo(-2, 6);
    const { frequencyHz, settings } = restoration.predicted!;
    const at50Hz = frequencyHz.findIndex((hz) => hz > 49);
    expect(settings.at(-1)!.beforeDb[at50Hz]).toBeCloseTo(-8, 6);
    expect(settings.at(-1)!.afterDb[at50Hz]).toBeCloseTo(-2, 6);
    // Said once: as what the part given cannot do.
    const limits = recommendationsOf(plan, 'cannot-be-done').map(({ bindingLimit }) => bindingLimit);
    expect(limits).toContainEqual({
      code: 'too little restoration',
      hasDb: 6,
      neededDb: expect.closeTo(8, 6),
    });
    expect(limits.map(codeOf)).not.toContain('restoration is limited by');
  });

  it('needs nothing where only low settings are lifted', () => {
    const radio = losing({});
    const plan = recommend(
      planInput({ ...radio, bassChange: { plateauSettings: [24, 28, 32], verdict: 'steady' } }),
    );
    expect(recommendationsOf(plan, 'restoration')[0]).toMatchObject({ verdict: 'none needed', amountDb: 0 });
  });

  it('fits the shelf that a radio takes away, corner and gain', () => {
    const radio = losing({});
    const shelf = lowShelfSections({ gainDb: -8 });
    const taps = pair('front', {
      band: FULL_RANGE,
      response: (frequencyHz, setting) =>
        setting < 30 ? gainDb(0) : evaluateSections(shelf, { frequencyHz, cornerHz: 75, sampleRateHz: null }),
    });
    const [restoration] = recommendationsOf(recommend(planInput({ ...radio, taps })), 'restoration');
    expect(restoration.shelf!.frequencyHz).toBeGreaterThan(71);
    expect(restoration.shelf!.frequencyHz).toBeLessThan(79);
    expect(restoration.shelf!.gainDb).toBeCloseTo(8, 0);
  });
});

describe('dash high-pass and door low-pass at 3 kHz, Linkwitz-Riley 12 dB/octave', () => {
  const section = (side: 'low-pass' | 'high-pass') =>
    prototypeSections({ family: 'linkwitz-riley', order: 2, side });
  const filter = (side: 'low-pass' | 'high-pass') => {
    const sections = section(side);
    return (frequencyHz: number) =>
      evaluateSections(sections, { frequencyHz, cornerHz: 3000, sampleRateHz: null });
  };
  const split = (dashLateSeconds: number, timeOrigin?: string): SyntheticRadio => ({
    taps: [
      ...pair('door', { response: filter('low-pass') }),
      ...pair('dash', { response: filter('high-pass'), delaySeconds: dashLateSeconds, timeOrigin }),
    ],
    settings: [10, 20, 30],
    volts: null,
    equipment: {
      converter: {
        inputs: 8,
        inputLimitVoltsRms: 20,
        summing: 'any',
        canInvert: true,
        maximumDelaySeconds: 5e-3,
      },
      amplifiers: [{ feeds: ['front'], ratedWatts: 75 }],
    },
  });
  const feeds = (radio: SyntheticRadio) => recommendationsOf(recommend(planInput(radio)), 'feed');

  it('inverts one and is flat; as wired it would have been a null at 3 kHz', () => {
    for (const feed of feeds(split(0))) {
      expect(feed.summed).toBe(true);
      // The door carries the bass, which the other feeds have to agree with: the dash is the one to turn.
      const inverted = feed.taps.filter(({ polarity }) => polarity === 'inverted');
      expect(inverted.map(({ tapId }) => tapId)).toEqual([`dash ${feed.side}`]);
      expect(feed.programmes![feed.side as 'left'].rippleDb).toBeLessThan(1e-6);
      const asWired = feed.runnersUp.find(
        ({ taps }) => taps.length === 2 && taps.every(({ polarity }) => polarity === 'as wired'),
      )!;
      // The null itself lies between two points of the grid, 3 Hz from the nearest.
      expect(asWired.worstDipDb).toBeLessThan(-40);
    }
  });

  it('inverts and does not delay where the dash is 20 microseconds late: worst -0.5 dB', () => {
    const [feed] = feeds(split(20e-6));
    expect(feed.taps.every(({ delaySeconds }) => delaySeconds === 0)).toBe(true);
    expect(feed.programmes!.left.worstDipDb).toBeCloseTo(-0.48, 2);
  });

  it('inverts and delays the door where the dash is 100 microseconds late', () => {
    const [feed] = feeds(split(100e-6));
    const door = feed.taps.find(({ tapId }) => tapId === 'door left')!;
    const dash = feed.taps.find(({ tapId }) => tapId === 'dash left')!;
    expect(door.delaySeconds).toBeCloseTo(100e-6, 9);
    expect(dash.delaySeconds).toBe(0);
    expect(door.polarity).not.toBe(dash.polarity);
    expect(feed.programmes!.left.rippleDb).toBeLessThan(0.01);
  });

  it('shows why inverting alone loses there: -7.9 dB against -3.6 dB as wired', () => {
    const radio = split(100e-6);
    const noDelay = {
      ...radio,
      equipment: {
        ...radio.equipment,
        converter: { ...radio.equipment!.converter!, maximumDelaySeconds: 0 },
      },
    };
    const [feed] = feeds(noDelay);
    expect(feed.taps.every(({ polarity }) => polarity === 'as wired')).toBe(true);
    expect(feed.programmes!.left.worstDipDb).toBeCloseTo(-3.56, 1);
    const inverted = feed.runnersUp.find(({ taps }) => taps.some(({ polarity }) => polarity === 'inverted'))!;
    expect(inverted.worstDipDb).toBeCloseTo(-7.95, 1);
  });

  it('says unknown, from 0 dB to a full null, where they were recorded one after the other', () => {
    const plan = recommend(planInput(split(0, 'another file')));
    const [feed] = recommendationsOf(plan, 'feed');
    expect(feed.programmes).toBeNull();
    expect(feed.unknownTiming).toMatchObject({ bestDipDb: 0, worstDipDb: -60 });
    expect(feed.unknownTiming!.atHz).toBeGreaterThan(2900);
    expect(feed.unknownTiming!.atHz).toBeLessThan(3100);
    const [next] = recommendationsOf(plan, 'record-next');
    expect(next.blocks).toBe(true);
    expect(next.tapIds).toEqual(['door left', 'dash left']);
  });
});

it('keeps to its own schema and numbers the list in the order of work', () => {
  const plan = recommend(
    planInput({
      taps: pair('front', { band: FULL_RANGE }),
      settings: SETTINGS,
      volts: { at: 30, rms: 6.85 },
      railVoltsPeak: 12.6,
    }),
  );
  expect(() => recommendationSchema.array().parse(JSON.parse(JSON.stringify(plan)))).not.toThrow();
  expect(plan.map(({ order }) => order)).toEqual(plan.map((_, i) => i + 1));
  expect(new Set(plan.map(({ id }) => id)).size).toBe(plan.length);
});
