import { describe, expect, it } from 'vitest';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { measured } from '../../../src/model/measured.ts';
import { engineOff, railHeadroomDb } from '../../../src/recommend/chain/engine-off.ts';
import {
  highestCleanSetting,
  midBandLevel,
  tapVolts,
} from '../../../src/recommend/chain/highest-clean-setting.ts';
import { gainDb, pair } from '../synthetic.ts';
import { contextOf, finding } from './context.ts';

const IDS = ['front left', 'front right'];
const cleanSettings = (tapId: string, clean: number | null, more: object = {}) =>
  finding({
    kind: 'clean-settings',
    tapIds: [tapId],
    settings: [],
    highestCleanRecorded: clean,
    firstClippingRecorded: clean === null ? null : clean + 5,
    highestCleanComputed: clean === null ? null : clean + 2,
    mostBoostedHz: 1000,
    ...more,
  });
const cleanOf = (...findings: ReturnType<typeof cleanSettings>[]) => {
  const context = contextOf({ without: ['clipping', 'clean-settings'], findings });
  return { context, clean: highestCleanSetting(context, IDS) };
};

describe('the highest clean setting', () => {
  it('is the worst output’s, with its volts at the boosted tone and at 1 kHz.', () => {
    const response = (hz: number) => gainDb(hz < 100 ? 6 : 0);
    const context = contextOf({
      taps: pair('front', { response }),
      without: ['clipping', 'clean-settings'],
      findings: [cleanSettings('front left', 30), cleanSettings('front right', 25, { mostBoostedHz: 50 })],
    });
    const clean = highestCleanSetting(context, IDS);
    expect(clean).toMatchObject({
      recorded: 25,
      firstClippingRecorded: 30,
      computed: 27,
      limitingTapId: 'front right',
      atHz: 50,
      restsOn: ['clean-settings-front left', 'clean-settings-front right'],
    });
    // 8 V at 30, 5 dB down at 25; 6 dB more at 50 Hz; 1 % of the volts by calibration.
    const volts = 8 * 10 ** (-5 / 20);
    expect(clean.midBandVoltsRms).toEqual({
      value: expect.closeTo(volts, 6),
      plusMinus: expect.closeTo(volts / 100, 6),
    });
    expect(clean.voltsRms).toMatchObject({ value: expect.closeTo(volts * 10 ** (6 / 20), 6) });
  });

  it('takes of two that end together the one that ends first by the law, then the louder.', () => {
    expect(
      cleanOf(cleanSettings('front left', 25), cleanSettings('front right', 25, { highestCleanComputed: 26 }))
        .clean,
    ).toMatchObject({
      limitingTapId: 'front right',
      computed: 26,
    });
    const loud = contextOf({
      taps: pair('front').map((tap, i) => ({ ...tap, response: () => gainDb(i === 1 ? 3 : 0) })),
      without: ['clipping', 'clean-settings'],
      findings: IDS.map((id) => cleanSettings(id, 25)),
    });
    expect(highestCleanSetting(loud, IDS).limitingTapId).toBe('front right');
  });

  it('leaves out what was not judged, and outputs that are not in use.', () => {
    const unjudged = cleanSettings('front right', null, { firstClippingRecorded: null });
    expect(cleanOf(cleanSettings('front left', 30), unjudged).clean.recorded).toBe(30);
    const { context } = cleanOf(cleanSettings('front left', 30), cleanSettings('front right', 25));
    expect(highestCleanSetting(context, ['front left']).recorded).toBe(30);
    expect(highestCleanSetting(context, [])).toMatchObject({
      recorded: null,
      limitingTapId: null,
      voltsRms: { notMeasurable: { code: 'no clipping test' } },
      midBandVoltsRms: { notMeasurable: { code: 'no clipping test' } },
    });
  });

  it('was tried where the test is in doubt: nobody says that none was recorded.', () => {
    const reason = { code: 'gain follows the level' } as const;
    const doubts = [{ kind: 'gain', reason, tapIds: ['front left'], settings: null }];
    const doubted = cleanSettings('front left', null, { firstClippingRecorded: null, doubts });
    expect(cleanOf(doubted).clean.voltsRms).toEqual({ notMeasurable: reason });
    const inNoise = cleanSettings('front left', null, { firstClippingRecorded: null });
    expect(cleanOf(inNoise).clean.voltsRms).toEqual({ notMeasurable: { code: 'no clean setting known' } });
  });

  it('names the louder take of the one that ends first, where there is one.', () => {
    const asLoudAsPlayed = { setting: 27, atHz: 50, louderByDb: 4 };
    const { clean } = cleanOf(
      cleanSettings('front left', 30),
      cleanSettings('front right', 25, { asLoudAsPlayed }),
    );
    expect(clean).toMatchObject({ limitingTapId: 'front right', asLoudAsPlayed });
    expect(cleanOf(cleanSettings('front left', 30)).clean).not.toHaveProperty('asLoudAsPlayed');
  });

  it('is none where one output clips at every setting, whatever the others do.', () => {
    const never = cleanSettings('front right', null, { firstClippingRecorded: 20 });
    expect(cleanOf(cleanSettings('front left', 30), never).clean).toMatchObject({
      recorded: null,
      firstClippingRecorded: 20,
      limitingTapId: 'front right',
      voltsRms: { notMeasurable: { code: 'no clean setting was recorded' } },
    });
  });

  it('names the outputs in use that no take judged.', () => {
    expect(cleanOf(cleanSettings('front left', 25)).clean).toMatchObject({
      recorded: 25,
      notJudged: ['front right'],
    });
    const open = cleanSettings('front right', null, { firstClippingRecorded: null });
    expect(cleanOf(cleanSettings('front left', 25), open).clean.notJudged).toEqual(['front right']);
    const both = cleanOf(cleanSettings('front left', 25), cleanSettings('front right', 30));
    expect(both.clean).not.toHaveProperty('notJudged');
  });

  it('says what lies above it that is not known, and a stage before the volume.', () => {
    const notKnown = { settings: [30, 35], because: 'noise' };
    const above = (firstClippingRecorded: number | null) =>
      cleanOf(cleanSettings('front left', 25, { notKnown, firstClippingRecorded })).clean.notKnown;
    expect(above(null)).toEqual(notKnown);
    // One that clips is known.
    expect(above(35)).toEqual({ ...notKnown, settings: [30] });
    const reasonsWith = (place: string) =>
      cleanOf(
        cleanSettings('front left', 25),
        finding({ kind: 'clipping', tapIds: ['front left'], place, perSetting: [] }),
      ).clean.reasons;
    const early = { code: 'a stage before the volume clips' };
    expect(reasonsWith('before the volume control')).toContainEqual(early);
    expect(reasonsWith('after the volume control')).not.toContainEqual(early);
  });
});

describe('volts of an output', () => {
  const ask = { tapId: 'front left', setting: 30, frequencyHz: null };

  it('are not told without calibration, of an output that was not recorded, or where the volts are in doubt.', () => {
    expect(tapVolts(contextOf({ volts: null }), ask)).toMatchObject({
      notMeasurable: { code: 'recordings without volts' },
    });
    const doubtful = contextOf({ findings: [rail(6.3, 'half of it')] });
    expect(tapVolts(doubtful, ask)).toHaveProperty('notMeasurable');
    expect(tapVolts(contextOf(), ask)).toMatchObject({ value: expect.closeTo(8, 9) });
  });

  it('lie in the middle of the band of an output that does not reach 1 kHz.', () => {
    const low = gridFrequencyHz.map((hz) => (hz < 200 ? 1 : 0.01));
    expect(midBandLevel(low)).not.toBeCloseTo(0.01, 3);
    // Half of the middle at 1 kHz is where it stops to be the output's own.
    const dip = (at: number) => gridFrequencyHz.map((hz) => (hz > 900 && hz < 1100 ? at : 1));
    expect(midBandLevel(dip(0.6))).toBeCloseTo(0.6, 3);
    expect(midBandLevel(dip(0.4))).toBeCloseTo(1, 1);
  });
});

describe('with the engine off', () => {
  // 20 log10(14.4 / 12.6) = 1.160 dB less rail; at 1 dB a setting that is 2 settings, at 0.5 dB 3.
  const off = (
    of: { supply?: number | null; dbPerStep?: number; railVoltsPeak?: number; law?: boolean } = {},
  ) => {
    const { supply = 14.4, dbPerStep = 1, railVoltsPeak = 8 * Math.SQRT2 } = of;
    const law = finding({
      kind: 'volume-law',
      tapIds: ['front left'],
      levels: [],
      dbPerStep,
      followsVolume: true,
    });
    const context = contextOf({
      without: ['clipping', 'clean-settings', 'volume-law'],
      findings: [
        cleanSettings('front left', 30),
        rail(railVoltsPeak, 'as expected'),
        ...(of.law === false ? [] : [law]),
      ],
      session: { supply: { volts: supply, engineRunning: true } },
    });
    return engineOff(context, highestCleanSetting(context, ['front left']));
  };

  it('is as many settings lower as the rail loses, whole ones.', () => {
    expect(off()).toEqual({ supplyVolts: 12.6, setting: 28 });
    expect(off({ dbPerStep: 0.5 })).toMatchObject({ setting: 27 });
    expect(off({ dbPerStep: 1.2 })).toMatchObject({ setting: 29 });
  });

  it('spends the headroom below the rail first: 1 dB of it leaves a setting to go, 1.2 dB none.', () => {
    expect(off({ railVoltsPeak: 8 * Math.SQRT2 * 10 ** (1 / 20) })).toMatchObject({ setting: 29 });
    expect(off({ railVoltsPeak: 8 * Math.SQRT2 * 10 ** (1.2 / 20) })).toMatchObject({ setting: 30 });
  });

  it('is not told where the engine was off already, or supply, law or rail are not known.', () => {
    expect(off({ supply: 13.3 })).not.toBeNull();
    expect(off({ supply: 13.1 })).toBeNull();
    expect(off({ supply: null })).toBeNull();
    expect(off({ law: false })).toBeNull();
    expect(off({ dbPerStep: -1 })).toBeNull();
  });

  it('starts from the headroom of the rail over the loudest tone.', () => {
    const context = contextOf({
      without: ['clipping', 'clean-settings'],
      findings: [cleanSettings('front left', 30), rail(16, 'as expected')],
    });
    const clean = highestCleanSetting(context, ['front left']);
    expect(railHeadroomDb(context, clean)).toBeCloseTo(20 * Math.log10(16 / Math.SQRT2 / 8), 6);
    expect(railHeadroomDb(contextOf(), clean)).toBeNull();
  });
});

function rail(voltsPeak: number, verdict: string) {
  return finding({
    kind: 'rail',
    tapIds: ['front left'],
    clipVoltsPeak: measured({ value: voltsPeak, plusMinus: 0.1 }),
    expectedVoltsPeak: [12.4, 13.4],
    verdict,
    question: verdict === 'half of it' ? { code: 'one leg?' } : null,
  });
}
