import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../src/model/finding.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { recommend } from '../recommend.ts';
import { feedBySide, way } from '../split-feeds.ts';
import { FULL_RANGE, gainDb, pair, planInput, type SyntheticRadio } from '../synthetic.ts';

describe('the subwoofer feed', () => {
  const losing = (hz: number, setting: number) => gainDb(hz < 150 && setting > 20 ? -(setting - 20) : 0);
  const falls: SyntheticRadio['bassChange'] = { verdict: 'falls with volume', plateauSettings: [10, 15, 20] };

  it('takes the subwoofer output, turned over or not, however low the radio filters it', () => {
    for (const cornerHz of [70, 90, 120]) {
      for (const sign of [1, -1]) {
        const low = way('low-pass', cornerHz);
        const response = (hz: number) => ({ real: sign * low(hz).real, imag: sign * low(hz).imag });
        const taps = [...pair('front', { band: FULL_RANGE }), ...pair('subwoofer', { response })];
        const plan = recommend(planInput({ taps, settings: [10, 20, 30], volts: null }));
        const { taps: used } = feedBySide(plan, 'subwoofer', 'both');
        expect(used.map(({ tapId }) => tapId)).toEqual(['subwoofer left', 'subwoofer right']);
      }
    }
  });

  it('takes other taps where the subwoofer output is limited', () => {
    const limiter: Finding = {
      id: 'limiter',
      kind: 'bass-limiter',
      tapIds: ['subwoofer left', 'subwoofer right'],
      evidence: [],
      place: 'after the volume control',
      perSetting: [],
    };
    const plan = recommend(
      planInput({
        taps: [
          ...pair('rear', { band: FULL_RANGE }),
          ...pair('subwoofer', { response: way('low-pass', 120) }),
        ],
        settings: [10, 20, 30],
        volts: null,
        findings: [limiter],
      }),
    );
    expect(feedBySide(plan, 'subwoofer', 'both').taps.map(({ tapId }) => tapId)).toEqual([
      'rear left',
      'rear right',
    ]);
  });

  it('takes other taps where the subwoofer output clips at the lowest setting already, and its own again where all do', () => {
    const loud = (hz: number) => {
      const { real, imag } = way('low-pass', 120)(hz);
      return { real: 10 * real, imag: 10 * imag };
    };
    // 20 dB above the rears; 6 V at setting 30 is 0.6 V at 10, so that a rail of 5 V clips the one at every setting.
    const rears = pair('rear', { band: FULL_RANGE });
    const used = (railVoltsPeak: number, others = rears) =>
      feedBySide(
        recommend(
          planInput({
            taps: [...others, ...pair('subwoofer', { response: loud })],
            settings: [10, 20, 30],
            volts: { at: 30, rms: 6 },
            railVoltsPeak,
          }),
        ),
        'subwoofer',
        'both',
      );
    const tapIds = (railVoltsPeak: number) => used(railVoltsPeak).taps.map(({ tapId }) => tapId);
    expect(tapIds(5)).toEqual(['rear left', 'rear right']);
    expect(used(5).reasons.map(codeOf)).toContain('subwoofer output is never clean');
    expect(tapIds(100)).toEqual(['subwoofer left', 'subwoofer right']);
    expect(tapIds(0.1)).toEqual(['subwoofer left', 'subwoofer right']);
    // Clean, but of treble alone.
    const dash = pair('dash', { response: way('high-pass', 3000) });
    expect(used(5, dash).taps.map(({ tapId }) => tapId)).toEqual(['subwoofer left', 'subwoofer right']);
  });

  it('cannot promise full bass where every tap is limited, and says so', () => {
    const limiter: Finding = {
      id: 'limiter',
      kind: 'bass-limiter',
      tapIds: ['front left', 'front right'],
      evidence: [],
      place: 'after the volume control',
      perSetting: [],
    };
    const plan = recommend(
      planInput({
        taps: pair('front', { band: FULL_RANGE, response: losing }),
        settings: [10, 15, 20, 25, 30],
        volts: null,
        bassChange: falls,
        findings: [limiter],
      }),
    );
    expect(recommendationsOf(plan, 'restoration')[0].impossible).not.toEqual([]);
    const limits = recommendationsOf(plan, 'cannot-be-done').map(({ bindingLimit }) => codeOf(bindingLimit));
    expect(limits).toContain('bass held by the limiter');
  });

  it('gives no reading for tones that the limiter holds, and sets the knob by one that it does not', () => {
    const held = (drive: number): Finding => ({
      id: 'limiter',
      kind: 'bass-limiter',
      tapIds: ['front left', 'front right'],
      evidence: [],
      place: 'after the volume control',
      perSetting: [
        {
          setting: 30,
          thresholdDriveDbFs: { value: drive, plusMinus: 0.5 },
          levelVoltsRms: { value: 6 * 10 ** (drive / 20), plusMinus: 0.1 },
        },
      ],
    });
    const taps = pair('front', { band: FULL_RANGE });
    const equipment = { amplifiers: [{ feeds: ['subwoofer' as const], ratedWatts: 500 }] };
    const targets = (drive: number) =>
      recommendationsOf(
        recommend(
          planInput({
            taps,
            settings: [10, 20, 30],
            volts: { at: 30, rms: 6 },
            equipment,
            findings: [held(drive)],
          }),
        ),
        'amplifier-gain',
      )[0].targets;
    const knob = (drive: number) =>
      targets(drive)
        .filter(({ setBy }) => setBy)
        .map(({ toneHz, driveDbFs, setting }) => [toneHz, driveDbFs, setting]);
    expect(knob(-3)).toEqual([[55, -5, 30]]);
    expect(knob(-8)).toEqual([[55, -10, 30]]);
    // 10 dB lower the limiter sets in at -10 dBFS, another 10 dB lower not at all: never with a tone outside the bass.
    expect(knob(-20)).toEqual([[55, -5, 10]]);
    for (const { toneHz, driveDbFs, voltsRms } of targets(-8)) {
      expect(isNotMeasurable(voltsRms)).toBe(toneHz < 150 && driveDbFs > -8);
    }
  });

  it('inverts one of a pair that is wired against the other', () => {
    const [left, right] = pair('rear', { band: FULL_RANGE });
    const plan = recommend(
      planInput({
        taps: [left, { ...right, response: () => ({ real: -1, imag: 0 }) }],
        settings: [10, 20],
        volts: null,
      }),
    );
    expect(feedBySide(plan, 'subwoofer', 'both').taps.map(({ polarity }) => polarity)).toEqual([
      'as wired',
      'inverted',
    ]);
  });

  it('turns back the one that the radio turns, in the mains and in the subwoofer feed', () => {
    const [left, right] = pair('rear', { band: FULL_RANGE });
    const turned = (tapId: string): Finding => ({
      id: `timing-${tapId}`,
      kind: 'timing',
      tapIds: [tapId],
      evidence: [],
      tapId,
      referenceTapId: tapId === left.id ? right.id : left.id,
      delaySeconds: { value: 0, plusMinus: 1e-6 },
      polarity: 'inverted',
      reason: null,
    });
    const opposed = () => ({ real: -1, imag: 0 });
    for (const [taps, id] of [
      [[{ ...left, response: opposed }, right], left.id],
      [[left, { ...right, response: opposed }], right.id],
    ] as const) {
      const plan = recommend(planInput({ taps, settings: [10, 20], volts: null, findings: [turned(id)] }));
      for (const feed of recommendationsOf(plan, 'feed')) {
        for (const tap of feed.taps) expect(tap.polarity).toBe(tap.tapId === id ? 'inverted' : 'as wired');
      }
    }
  });

  it('never takes a tap whose bass is filtered away, however little the others keep at the top', () => {
    // What a tweeter tap shows at 50 Hz is noise, and noise does not fall with the volume.
    const noise = (hz: number) => ({
      real: hz > 2000 ? 1 : 0.003 * Math.cos(hz * hz),
      imag: 0.003 * Math.sin(hz * hz),
    });
    const taps = [
      ...pair('dash', { response: noise }),
      ...pair('rear', { band: FULL_RANGE, response: losing }),
    ];
    const plan = recommend(
      planInput({ taps, settings: [10, 15, 20, 25, 30], volts: null, bassChange: falls }),
    );
    expect(feedBySide(plan, 'subwoofer', 'both').taps.map(({ tapId }) => tapId)).toEqual([
      'rear left',
      'rear right',
    ]);
  });

  it('restores no more than 12 dB and names the limit', () => {
    const plan = recommend(
      planInput({
        taps: pair('front', {
          band: FULL_RANGE,
          response: (hz, setting) => gainDb(hz < 150 && setting > 20 ? -15 : 0),
        }),
        settings: [10, 15, 20, 25],
        volts: null,
        bassChange: falls,
      }),
    );
    expect(recommendationsOf(plan, 'restoration')[0]).toMatchObject({ amountDb: 12, limitedBy: '12 dB' });
  });
});
