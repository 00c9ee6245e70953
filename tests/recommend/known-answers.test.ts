import { describe, expect, it } from 'vitest';
import { evaluateSections, peakingSections } from '../../src/dsp/filter-prototype.ts';
import type { EquipmentInput } from '../../src/model/equipment.ts';
import type { FindingOf } from '../../src/model/finding.ts';
import { measured } from '../../src/model/measured.ts';
import { asWritten, codeOf } from '../../src/model/reason.ts';
import { recommendationSchema, recommendationsOf } from '../../src/model/recommendation.ts';
import { someOf } from '../some-of.ts';
import { SETTINGS, value } from './known-settings.ts';
import { recommend } from './recommend.ts';
import { FULL_RANGE, pair, planInput, type SyntheticRadio } from './synthetic.ts';

const SPEAKER_LEVEL: EquipmentInput = {
  amplifiers: [{ feeds: ['front', 'rear'], ratedWatts: 75, channels: 4, speakerInputLimitVoltsRms: 10 }],
};

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
