import { describe, expect, it } from 'vitest';
import { isNotMeasurable, type MeasuredOrReason } from '../../src/model/measured.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import type { Results } from '../../src/model/results.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { ScenarioInput, TapInput } from '../../src/simulate/scenario.ts';
import { analysedScenario } from './analysed-scenario.ts';

function planOf(scenario: ScenarioInput): Results['recommendations'] {
  return analysedScenario(resolveScenario(scenario)).results.recommendations;
}

function value(answer: MeasuredOrReason): number {
  if (isNotMeasurable(answer)) throw new Error(answer.notMeasurable);
  return answer.value;
}

// The same cases as in recommend/known-answers, this time through recordings; the answers follow by arithmetic.
const STEP = { dbPerStep: 1 } as const;
const LEVEL = { atSetting: 30, voltsRms: 6.85, ...STEP } as const;

describe('two flat taps, 6.85 V at setting 30, rail 12.6 V peak', () => {
  const flat = {
    settings: [24, 28, 32, 36],
    taps: [
      {
        id: 'front-left',
        side: 'left',
        position: 'front',
        volume: { atSetting: 30, voltsRms: 6.85, ...STEP },
        railVoltsPeak: 12.6,
      },
      {
        id: 'front-right',
        side: 'right',
        position: 'front',
        volume: { atSetting: 30, voltsRms: 6.85, ...STEP },
        railVoltsPeak: 12.6,
      },
    ],
    supply: { volts: 14.4 },
    equipment: {
      amplifiers: [{ feeds: ['front'], channels: 2, ratedWatts: 75, speakerInputLimitVoltsRms: 10 }],
    },
  } satisfies ScenarioInput;

  it('nothing to order, nothing summed, highest clean setting 32 at 8.62 V', () => {
    const plan = planOf(flat);
    expect(recommendationsOf(plan, 'order')[0]).toMatchObject({
      nothingToOrder: true,
      converterClass: 'none',
    });
    expect(recommendationsOf(plan, 'feed').some(({ summed }) => summed)).toBe(false);
    const [clean] = recommendationsOf(plan, 'highest-clean-setting');
    expect(clean.recorded).toBe(32);
    expect(20 * Math.log10(value(clean.midBandVoltsRms) / 8.62)).toBeCloseTo(0, 1);
  });

  it('asks and gives no volts where it seems to clip at half of the rail', () => {
    // The recorder's pad is 11 to 1; entered as 5.5 it looks as one leg measured for the pair does.
    const calibration = { kind: 'pad', statedPadRatio: 5.5 } as const;
    const plan = planOf({ ...flat, settings: [28, 32, 36], calibration, recorder: { padRatio: 11 } });
    expect(plan[0]).toMatchObject({ kind: 'record-next', blocks: true });
    const [clean] = recommendationsOf(plan, 'highest-clean-setting');
    expect(clean.recorded).toBe(32);
    expect(clean.voltsRms).toHaveProperty('notMeasurable');
    expect(recommendationsOf(plan, 'order')[0].worstInputVoltsRms).toHaveProperty('notMeasurable');
  });
});

describe('bass that falls by 8 dB at 50 Hz at the highest clean setting', () => {
  // A shelf so high that 50 and 55 Hz lie on its floor.
  const losing = (side: 'left' | 'right'): TapInput => ({
    id: `front-${side}`,
    side,
    position: 'front',
    volume: { atSetting: 32, voltsRms: 8, ...STEP },
    railVoltsPeak: 12.6,
    volumeDependent: [
      { kind: 'low shelf', frequencyHz: 160, gainDb: { '20': 0, '24': -2, '28': -5, '32': -8, '36': -8 } },
    ],
  });
  const plan = planOf({
    settings: [12, 16, 20, 24, 32, 36],
    taps: [losing('left'), losing('right')],
    supply: { volts: 14.4 },
    equipment: {
      converter: {
        inputs: 4,
        inputLimitVoltsRms: 20,
        outputLimitVoltsRms: 4,
        restoration: { kind: 'dynamic', maximumDb: 12 },
      },
      amplifiers: [{ feeds: ['subwoofer'], ratedWatts: 500, gainOverlapDb: 5 }],
      speakers: [{ feeds: 'front', factory: true }],
    },
  });

  it('restores it on the subwoofer feed, from 20 on', () => {
    const [restoration] = recommendationsOf(plan, 'restoration');
    expect(restoration).toMatchObject({ verdict: 'restore', fromSetting: 20, toSetting: 32 });
    expect(restoration.amountDb).toBeCloseTo(8, 0);
  });

  it('reads 44.7 V restored and 17.8 V not restored with the -5 dBFS bass tone', () => {
    const [gain] = recommendationsOf(plan, 'amplifier-gain');
    const read = (state: string) =>
      value(
        gain.targets.find(
          ({ toneHz, driveDbFs, restoration }) => toneHz === 55 && driveDbFs === -5 && restoration === state,
        )!.voltsRms,
      );
    expect(20 * Math.log10(read('on') / 44.72)).toBeCloseTo(0, 1);
    expect(20 * Math.log10(read('off') / 17.8)).toBeCloseTo(0, 0);
    expect(gain.sensitivityVoltsRms).toBeCloseTo(2.25, 1);
    const [level] = recommendationsOf(plan, 'converter-level');
    expect(value(level.gainDb)).toBeCloseTo(-6, 0);
  });
});

describe('dash and door split at 3 kHz, Linkwitz-Riley 12 dB/octave, the dash 100 microseconds late', () => {
  const split = (files: ScenarioInput['files']): ScenarioInput => ({
    track: 'response only',
    settings: [18, 20, 22],
    taps: (['left', 'right'] as const).flatMap((side) => [
      {
        id: `door-${side}`,
        side,
        position: 'door' as const,
        volume: LEVEL,
        crossover: [
          { side: 'low-pass' as const, family: 'linkwitz-riley' as const, order: 2, cornerHz: 3000 },
        ],
      },
      {
        id: `dash-${side}`,
        side,
        position: 'dash' as const,
        volume: LEVEL,
        delayMicroseconds: 100,
        crossover: [
          { side: 'high-pass' as const, family: 'linkwitz-riley' as const, order: 2, cornerHz: 3000 },
        ],
      },
    ]),
    files,
  });

  it('inverts one and delays the door by 100 microseconds', () => {
    const feeds = recommendationsOf(planOf(split({ kind: 'per setting' })), 'feed').filter(
      ({ output }) => output === 'front',
    );
    expect(feeds).toHaveLength(2);
    for (const { taps, programmes, side } of feeds) {
      const [door, dash] = ['door', 'dash'].map(
        (place) => taps.find(({ tapId }) => tapId.startsWith(place))!,
      );
      expect(door.polarity).not.toBe(dash.polarity);
      expect(door.delaySeconds).toBeCloseTo(100e-6, 5);
      expect(dash.delaySeconds).toBe(0);
      expect(programmes![side as 'left'].rippleDb).toBeLessThan(0.2);
    }
  });
});
