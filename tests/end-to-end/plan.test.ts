import { describe, expect, it } from 'vitest';
import type { EquipmentInput } from '../../src/model/equipment.ts';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason } from '../../src/model/measured.ts';
import type { Reason } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import type { TapInput } from '../../src/simulate/scenario.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { LEVEL, planWith, resultsOf, STEP } from './plan-with.ts';

function value(answer: MeasuredOrReason): number {
  if (isNotMeasurable(answer)) throw new Error(reasonText(answer.notMeasurable));
  return answer.value;
}

function decibelsBetween(reading: number, expected: number): number {
  return 20 * Math.log10(reading / expected);
}

function flatTap(id: string, more: TapInput = {}): TapInput {
  return { id, side: id.endsWith('left') ? 'left' : 'right', volume: LEVEL, railVoltsPeak: 12.6, ...more };
}

describe('four flat taps, 6.85 V at setting 30, rail 12.6 V peak', () => {
  const results = resultsOf({
    settings: [32, 36],
    taps: [
      flatTap('front-left', { position: 'front' }),
      flatTap('front-right', { position: 'front' }),
      flatTap('rear-left', { position: 'rear' }),
      flatTap('rear-right', { position: 'rear' }),
    ],
    supply: { volts: 14.4 },
    equipment: {
      amplifiers: [{ feeds: ['front', 'rear'], channels: 4, ratedWatts: 75, speakerInputLimitVoltsRms: 10 }],
    },
  });
  const plan = results.recommendations;

  it('nothing to order, nothing summed, nothing restored, highest clean setting 32 at 8.62 V', () => {
    expect(recommendationsOf(plan, 'order')[0]).toMatchObject({
      nothingToOrder: true,
      converterClass: 'none',
      summing: false,
      restorationDb: 0,
    });
    const feeds = recommendationsOf(plan, 'feed');
    expect(feeds).toHaveLength(4);
    expect(feeds.some(({ summed }) => summed)).toBe(false);
    expect(recommendationsOf(plan, 'restoration')).toEqual([]);
    const [clean] = recommendationsOf(plan, 'highest-clean-setting');
    expect(clean).toMatchObject({ recorded: 32, firstClippingRecorded: 36 });
    expect(decibelsBetween(value(clean.midBandVoltsRms), 8.62)).toBeCloseTo(0, 1);
  });

  it('an amplifier with inputs rated 8 V needs a converter, one without speaker-level inputs too', () => {
    for (const speakerInputLimitVoltsRms of [8, null]) {
      const other = planWith(results, {
        amplifiers: [{ feeds: ['front', 'rear'], channels: 4, ratedWatts: 75, speakerInputLimitVoltsRms }],
      });
      expect(recommendationsOf(other, 'order')[0]).toMatchObject({
        nothingToOrder: false,
        converterClass: 'gain only',
      });
    }
  });
});

it('a fixed boost of 4 dB at 50 Hz ends it at 28, and is no bass finding', () => {
  const { findings, recommendations } = resultsOf({
    settings: [24, 26, 28, 32],
    taps: [flatTap('front-left', { fixedEq: [{ kind: 'peak', frequencyHz: 50, gainDb: 4, q: 1 }] })],
    supply: { volts: 14.4 },
  });
  const [clean] = recommendationsOf(recommendations, 'highest-clean-setting');
  expect(clean).toMatchObject({ recorded: 28, firstClippingRecorded: 32 });
  // 6.85 V less 2 dB, plus the boost.
  expect(Math.abs(decibelsBetween(value(clean.voltsRms), 6.85 * 10 ** (2 / 20)))).toBeLessThan(0.2);
  expect(findingsOf(findings, 'bass-change').map(({ verdict }) => verdict)).toEqual(['steady']);
  expect(findingsOf(findings, 'band')[0].verdict).toBe('full range');
});

it('one leg measured for the pair: asks first, and gives no volts', () => {
  const { recommendations: plan } = resultsOf({
    settings: [32, 36],
    taps: [flatTap('front-left', { connection: 'one leg', statedConnection: 'pair' })],
    supply: { volts: 14.4 },
  });
  expect(plan[0]).toMatchObject({ kind: 'record-next', blocks: true });
  expect((plan[0] as { reasons: Reason[] }).reasons.map(reasonText).join(' ')).toMatch(/one leg/i);
  const [clean] = recommendationsOf(plan, 'highest-clean-setting');
  expect(clean.recorded).toBe(32);
  expect(clean.voltsRms).toHaveProperty('notMeasurable');
  expect(recommendationsOf(plan, 'order')[0].worstInputVoltsRms).toHaveProperty('notMeasurable');
});

describe('bass that falls by 2, 5 and 8 dB at 24, 28 and 32, which is the highest clean setting', () => {
  // A shelf so high that 50 and 55 Hz lie on its floor.
  const losing = (side: 'left' | 'right'): TapInput =>
    flatTap(`front-${side}`, {
      position: 'front',
      volume: { atSetting: 32, voltsRms: 8, ...STEP },
      volumeDependent: [
        {
          kind: 'low shelf',
          frequencyHz: 160,
          gainDb: { '20': 0, '24': -2, '28': -5, '32': -8, '36': -8 },
        },
      ],
    });
  const parts = ({ overlapDb = 0, maximumDb = 12 }): EquipmentInput => ({
    converter: {
      inputs: 4,
      inputLimitVoltsRms: 20,
      outputLimitVoltsRms: 4,
      restoration: { kind: 'dynamic', maximumDb },
    },
    amplifiers: [
      { name: 'mono', feeds: ['subwoofer'], ratedWatts: 500, gainOverlapDb: overlapDb },
      { name: 'mains', feeds: ['front'], channels: 2, ratedWatts: 75 },
    ],
    speakers: [{ feeds: 'front', factory: true }],
  });
  const results = resultsOf({
    settings: [12, 16, 20, 24, 28, 32, 36],
    taps: [losing('left'), losing('right')],
    supply: { volts: 14.4 },
  });
  const subwooferGain = (overlapDb: number) =>
    recommendationsOf(planWith(results, parts({ overlapDb })), 'amplifier-gain').find(
      ({ output }) => output === 'subwoofer',
    )!;

  it('onset between 20 and 24: 8 dB are restored, on the subwoofer feed only', () => {
    const plan = planWith(results, parts({}));
    for (const { onset } of findingsOf(results.findings, 'bass-change'))
      expect(onset).toMatchObject({ lastIntact: 20, firstChanged: 24 });
    const restorations = recommendationsOf(plan, 'restoration');
    expect(restorations).toHaveLength(1);
    expect(restorations[0]).toMatchObject({
      verdict: 'restore',
      output: 'subwoofer',
      fromSetting: 20,
      toSetting: 32,
    });
    expect(Math.abs(restorations[0].amountDb - 8)).toBeLessThan(0.2);
    const mains = recommendationsOf(plan, 'converter-level').find(({ output }) => output === 'front')!;
    expect(mains.targets.every(({ restoration }) => restoration === 'none')).toBe(true);
  });

  it('the converter stands at -6.0 dB and 4.0 V', () => {
    const level = recommendationsOf(planWith(results, parts({})), 'converter-level').find(
      ({ output }) => output === 'subwoofer',
    )!;
    expect(Math.abs(value(level.gainDb) + 6.02)).toBeLessThan(0.2);
    expect(level.outputVoltsRms).toBeCloseTo(4, 6);
  });

  it('sensitivity 4.0 V without gain overlap, 2.25 V with 5 dB; 44.7 V restored and 17.8 V not, with the -5 dBFS tone', () => {
    expect(Math.abs(decibelsBetween(subwooferGain(0).sensitivityVoltsRms, 4))).toBeLessThan(0.1);
    const gain = subwooferGain(5);
    expect(Math.abs(decibelsBetween(gain.sensitivityVoltsRms, 2.249))).toBeLessThan(0.1);
    const read = (state: string) =>
      value(
        gain.targets.find(
          ({ toneHz, driveDbFs, restoration }) => toneHz === 55 && driveDbFs === -5 && restoration === state,
        )!.voltsRms,
      );
    expect(Math.abs(decibelsBetween(read('on'), 44.72))).toBeLessThan(0.1);
    // At 55 Hz the shelf is at -7.87 dB by its closed form, not yet at the -8 that give 17.8 V.
    expect(Math.abs(decibelsBetween(read('off'), 44.72 * 10 ** (-7.87 / 20)))).toBeLessThan(0.1);
  });

  it('a class limited to 6 dB leaves -2 dB at 32, and another that would do it is named', () => {
    const plan = planWith(results, parts({ maximumDb: 6 }));
    const [restoration] = recommendationsOf(plan, 'restoration');
    expect(restoration).toMatchObject({ amountDb: 6, limitedBy: 'the converter', toSetting: 32 });
    const residual =
      restoration.settings.at(-1)!.residualDb[restoration.frequencyHz.findIndex((hz) => hz > 50)];
    expect(Math.abs(residual + 2)).toBeLessThan(0.2);
    const [limit, ...others] = recommendationsOf(plan, 'cannot-be-done');
    expect(others).toEqual([]);
    expect(limit.bindingLimit).toMatchObject({ code: 'too little restoration', hasDb: 6 });
    expect((limit.bindingLimit as { neededDb: number }).neededDb).toBeCloseTo(8, 0);
    expect(limit.otherClass).toMatchObject({ converterClass: 'summing with restoration' });
  });
});
