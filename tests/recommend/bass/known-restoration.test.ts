import { describe, expect, it } from 'vitest';
import { evaluateSections, lowShelfSections } from '../../../src/dsp/filter-prototype.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { SETTINGS, value } from '../known-settings.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, gainDb, pair, planInput, type SyntheticRadio } from '../synthetic.ts';

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

  it('sets a fixed boost to half of the 8 dB, 4 too much when quiet and 4 too little at the top, and says so', () => {
    const radio = losing({});
    const { converter, ...others } = radio.equipment!;
    const fixed = { ...converter!, restoration: { kind: 'fixed' as const, maximumDb: 12 } };
    const plan = recommend(planInput({ ...radio, equipment: { ...others, converter: fixed } }));
    const [restoration] = recommendationsOf(plan, 'restoration');
    expect(restoration).toMatchObject({ sameAtEverySetting: true, limitedBy: 'the converter', shelf: null });
    expect(restoration.amountDb).toBeCloseTo(4, 6);
    const residuals = restoration.settings.map(({ residualDb }) => residualDb[2]);
    expect([residuals[0], residuals.at(-1)]).toEqual([expect.closeTo(4, 6), expect.closeTo(-4, 6)]);
    const limits = recommendationsOf(plan, 'cannot-be-done').map(({ wanted }) => codeOf(wanted));
    expect(limits).toContain('bass restored in full');
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
