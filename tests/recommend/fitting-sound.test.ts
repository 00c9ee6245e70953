import { describe, expect, it } from 'vitest';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { makePlan } from '../../src/recommend/plan.ts';
import { FULL_RANGE, pair, planInput } from './synthetic.ts';

/** Line outputs of so many volts at 40, 1 dB a setting, into line inputs whose gain ends at 3 V. */
function plan(volts: number, settings = [10, 16, 22, 28, 34, 40]) {
  const { chain, recommendations } = makePlan(
    planInput({
      taps: pair('front', { band: FULL_RANGE, level: 'line' }),
      settings,
      volts: { at: 40, rms: volts },
      clean: { highestCleanRecorded: 40, firstClippingRecorded: null },
      equipment: {
        amplifiers: [{ name: 'small', feeds: ['front'], ratedWatts: 60, sensitivityRangeVoltsRms: [0.3, 3] }],
      },
    }),
  );
  const [highest] = recommendationsOf(recommendations, 'highest-clean-setting');
  const [gain] = recommendationsOf(recommendations, 'amplifier-gain');
  return { chain, highest, gain, toRecord: recommendationsOf(recommendations, 'record-next') };
}

describe('an amplifier whose gain cannot be turned down far enough', () => {
  it('is left alone where the outputs give no more than it takes', () => {
    const { chain, highest, gain } = plan(2.9);
    expect(chain.volume.setting).toBe(40);
    expect(highest.gainsAt).toBeUndefined();
    expect(gain.sensitivityVoltsRms).toBeCloseTo(2.9, 1);
    expect(chain.because.map(codeOf)).not.toContain('amplifier takes no more above');
  });

  it('ends the volume at the highest setting that it takes: 4 V are 2 V six settings lower', () => {
    const { chain, highest, gain, toRecord } = plan(4);
    // What the radio does above that is nobody's concern.
    expect([toRecord.length, plan(2.9).toRecord.length]).toEqual([0, 1]);
    expect(chain.volume).toMatchObject({ setting: 34, cleanSetting: 40 });
    expect(highest).toMatchObject({
      recorded: 40,
      gainsAt: 34,
      endedBy: { code: 'amplifier takes no more above', setting: 34, amplifier: 'small', atMostVolts: 3 },
    });
    expect(gain.sensitivityVoltsRms).toBeCloseTo(4 * 10 ** (-6 / 20), 2);
    expect(chain.verdict).toBe('do it with limits');
    expect(chain.feeds[0].noGains).toEqual([]);
  });

  it('asks for a pad where the volume would end below two thirds of the range', () => {
    // 9 V have to come down by 9.5 dB, to 30.5: 28 was recorded. 14 V by 13.4 dB, to 26.6: 22 of 40 is too low.
    expect(plan(9).chain.volume.setting).toBe(28);
    const { chain } = plan(14);
    expect(chain.volume.setting).toBe(40);
    expect(chain.feeds[0].noGains.map(codeOf)).toEqual(['too loud for the first stage']);
  });
});
