import { describe, expect, it } from 'vitest';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { filterLossDb } from '../../../src/recommend/filters/filter-loss.ts';
import { makePlan } from '../../../src/recommend/plan.ts';
import { reasonText } from '../../../src/words/reason-text.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, gainDb, pair, planInput } from '../synthetic.ts';

// |H| of Butterworth order 4: 1 / sqrt(1 + (fc/f)^8); of Linkwitz-Riley order 4: 1 / (1 + (fc/f)^4) (closed forms).
it('says how much lower a tone reads with the filter in the way', () => {
  const highPass = filterLossDb({ type: 'high-pass', cornerHz: 80, slopeDbPerOctave: 24, toneHz: 100 });
  expect(highPass.leastDb).toBeCloseTo(-20 * Math.log10(1 / Math.sqrt(1 + 0.8 ** 8)), 9);
  expect(highPass.mostDb).toBeCloseTo(-20 * Math.log10(1 / (1 + 0.8 ** 4)), 9);
  const atCorner = filterLossDb({ type: 'low-pass', cornerHz: 80, slopeDbPerOctave: 12, toneHz: 80 });
  expect(atCorner.leastDb).toBeCloseTo(3.0103, 4);
  expect(atCorner.mostDb).toBeCloseTo(6.0206, 4);
  const first = filterLossDb({ type: 'low-pass', cornerHz: 80, slopeDbPerOctave: 6, toneHz: 80 });
  expect(first).toEqual({ leastDb: first.mostDb, mostDb: first.mostDb });
});

describe('readings of a plan like the demo’s, by hand', () => {
  // 6.85 V at setting 30, 1 dB a step, flat; the bass 6 dB down below 150 Hz from setting 26 on; 4 V of line; 75 W and
  // 500 W into 4 ohm.
  const plan = recommend(
    planInput({
      taps: pair('rear', {
        band: FULL_RANGE,
        response: (hz, setting) => gainDb(hz < 150 && setting >= 26 ? -6 : 0),
      }),
      settings: [14, 18, 22, 26, 30, 34],
      volts: { at: 30, rms: 6.85 },
      railVoltsPeak: 12.6,
      bassChange: { verdict: 'falls with volume', plateauSettings: [14, 18, 22] },
      equipment: {
        converter: {
          inputs: 4,
          inputLimitVoltsRms: 20,
          outputLimitVoltsRms: 4,
          restoration: { kind: 'dynamic', maximumDb: 12 },
        },
        amplifiers: [
          { name: 'mains', feeds: ['rear'], ratedWatts: 75 },
          { name: 'mono', feeds: ['subwoofer'], ratedWatts: 500 },
        ],
      },
    }),
  );
  const reading = (
    kind: 'converter-level' | 'amplifier-gain',
    output: string,
    tone: { toneHz: number; restoration: string },
  ) => {
    const found = recommendationsOf(plan, kind)
      .find((item) => item.output === output)!
      .targets.find(
        ({ toneHz, restoration, driveDbFs }) =>
          toneHz === tone.toneHz && restoration === tone.restoration && driveDbFs === 0,
      )!.voltsRms;
    if (isNotMeasurable(found)) throw new Error(reasonText(found.notMeasurable));
    return found.value;
  };
  const gain = 4 / 6.85; // 1 kHz fills the line at the highest clean setting, 30
  const tapAt100Hz = 6.85 * 10 ** (-6 / 20);

  it('tap volts at 100 Hz times the converter’s gain is the reading at the converter', () => {
    expect(recommendationsOf(plan, 'highest-clean-setting')[0].recorded).toBe(30);
    const { gainDb: inDb } = recommendationsOf(plan, 'converter-level')[0];
    if (isNotMeasurable(inDb)) throw new Error(reasonText(inDb.notMeasurable));
    expect(inDb.value).toBeCloseTo(20 * Math.log10(gain), 3);
    expect(reading('converter-level', 'rear', { toneHz: 100, restoration: 'none' })).toBeCloseTo(
      tapAt100Hz * gain,
      3,
    );
  });

  it('times the amplifier’s gain it is the reading at the speaker: 75 W into 4 ohm are 17.32 V for 4 V', () => {
    expect(reading('amplifier-gain', 'rear', { toneHz: 100, restoration: 'none' })).toBeCloseTo(
      tapAt100Hz * gain * (Math.sqrt(75 * 4) / 4),
      3,
    );
  });

  it('the subwoofer’s 55 Hz reads 4 V and 44.7 V restored, half of that with restoration off', () => {
    expect(reading('converter-level', 'subwoofer', { toneHz: 55, restoration: 'on' })).toBeCloseTo(4, 2);
    expect(reading('amplifier-gain', 'subwoofer', { toneHz: 55, restoration: 'on' })).toBeCloseTo(44.72, 1);
    expect(reading('amplifier-gain', 'subwoofer', { toneHz: 55, restoration: 'off' })).toBeCloseTo(
      44.72 * 10 ** (-6 / 20),
      1,
    );
  });
});

it('gives no gain where nobody knows which setting is clean, and says so', () => {
  const input = planInput({
    taps: pair('front', { band: FULL_RANGE }),
    settings: [20, 24],
    volts: { at: 24, rms: 4 },
    equipment: { amplifiers: [{ feeds: ['front'], ratedWatts: 75 }] },
  });
  const untested = makePlan({
    ...input,
    findings: input.findings.filter(({ kind }) => kind !== 'clean-settings'),
  });
  expect(untested.recommendations.filter(({ kind }) => GAINS.includes(kind))).toEqual([]);
  expect(untested.chain.verdict).toBe('not like this');
  expect(untested.chain.because).toEqual([{ code: 'no clean setting known' }]);
  expect(makePlan(input).recommendations.filter(({ kind }) => GAINS.includes(kind))).not.toEqual([]);
});

const GAINS = ['converter-level', 'amplifier-gain', 'gain-structure'];
