import { describe, expect, it } from 'vitest';
import { measured } from '../../../src/model/measured.ts';
import { gainStructure } from '../../../src/recommend/chain/gain-structure.ts';
import { radioNoiseVolts } from '../../../src/recommend/chain/radio-noise.ts';
import { pair } from '../synthetic.ts';
import { contextOf, finding } from './context.ts';
import { dB, FULL, parts, solve } from './solved-parts.ts';

const noise = (tapId: string, millivolts: number) =>
  finding({
    kind: 'noise',
    tapIds: [tapId],
    perSetting: [{ setting: 30, underQuietToneVolts: measured({ value: millivolts / 1000, plusMinus: 0 }) }],
  });

describe('the chain as the report’s picture has it', () => {
  it('names what clips first, the spread of headroom with the overlap taken out, and the line where the radio is first.', () => {
    const { context, solved, feed } = solve();
    expect(gainStructure(context, solved, feed)).toMatchObject({
      output: 'front',
      setting: 30,
      worstHz: 55,
      clipsFirst: 'converter output',
      reasons: [{ code: 'least headroom clips first' }],
      // 1 dB at the radio, nothing at line and amplifier.
      spreadDb: expect.closeTo(1, 6),
      radioFirstLineVoltsRms: expect.closeTo(4 * 10 ** (-1 / 20), 6),
      noise: null,
    });
    const headroom = { output: 3, 'converter output': 1, 'amplifier output': 2.5 };
    const apart = feed.nodes.map((one) => ({
      ...one,
      headroomDb: headroom[one.kind as keyof typeof headroom] ?? one.headroomDb,
    }));
    expect(gainStructure(context, solved, { ...feed, nodes: apart })?.spreadDb).toBeCloseTo(3 - 1, 6);
    const overlapped = solve({ equipment: parts({ gainOverlapDb: 10 }) });
    expect(gainStructure(overlapped.context, overlapped.solved, overlapped.feed)).toMatchObject({
      spreadDb: expect.closeTo(1, 6),
      clipsFirst: 'amplifier',
    });
    expect(gainStructure(context, solved, { ...feed, clipsFirst: null })?.clipsFirst).toBe('not told');
    expect(gainStructure(context, solved, { ...feed, noGains: [{ code: 'volts not known' }] })).toBeNull();
    const names = gainStructure(context, solved, feed)?.nodes.map(({ node }) => node);
    expect(names).toEqual(['tap', 'converter input', 'converter output', 'amplifier output']);
  });

  it('adds noise by power: the louder output’s 1 mV through both gains, 50 microvolts of the converter through one.', () => {
    const { context, solved, feed } = solve({
      findings: [noise('front left', 0.5), noise('front right', 1)],
    });
    const amplifierGainRatio = FULL / 4;
    const heard = gainStructure(context, solved, feed)?.noise;
    const expected = Math.hypot(
      (0.001 * 4 * amplifierGainRatio) / 8,
      50e-6 * amplifierGainRatio,
      10e-6 * amplifierGainRatio,
    );
    expect(heard).toMatchObject({
      atSpeakerVolts: expect.closeTo(expected, 9),
      belowFullOutputDb: expect.closeTo(dB(FULL / expected), 6),
    });
    const silent = solve({ volts: null, findings: [noise('front left', 1)] });
    expect(gainStructure(silent.context, silent.solved, silent.feed)?.noise).toBeNull();
  });

  it('of outputs joined adds them by power, halved where both sides are: 3 and 4 mV are 5 or 2.5 mV.', () => {
    const taps = [...pair('door'), ...pair('dash')];
    const context = contextOf({
      taps,
      findings: [noise('door left', 3), noise('door right', 4), noise('dash left', 4)],
    });
    const of = (...tapIds: string[]) =>
      radioNoiseVolts(
        context,
        tapIds.map((tapId) => ({ tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 })),
        30,
      );
    expect(of('door left', 'dash left')).toBeCloseTo(0.005, 9);
    expect(of('door left', 'door right')).toBeCloseTo(0.0025, 9);
    expect(of('door left', 'dash right')).toBeNull();
    expect(of()).toBeNull();
  });
});
