import { describe, expect, it } from 'vitest';
import { evaluateSections, prototypeSections } from '../../src/dsp/filter-prototype.ts';
import type { Finding } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf } from '../../src/model/reason.ts';
import { type Recommendation, recommendationsOf } from '../../src/model/recommendation.ts';
import type { PlanInput } from '../../src/recommend/plan-context.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { recommend } from './recommend.ts';
import { FULL_RANGE, gainDb, pair, planInput, type SyntheticRadio } from './synthetic.ts';

const way = (side: 'low-pass' | 'high-pass', cornerHz: number) => {
  const sections = prototypeSections({ family: 'linkwitz-riley', order: 4, side });
  return (frequencyHz: number) => evaluateSections(sections, { frequencyHz, cornerHz, sampleRateHz: null });
};

const radio: SyntheticRadio = {
  taps: [
    ...pair('door', { response: way('low-pass', 2500) }),
    ...pair('dash', { response: way('high-pass', 2500), delaySeconds: 60e-6 }),
    ...pair('rear', {
      band: FULL_RANGE,
      response: (hz, setting) => gainDb(hz < 150 && setting > 20 ? -4 : 0),
    }),
    ...pair('subwoofer', { response: way('low-pass', 120) }),
  ],
  settings: [8, 11, 14, 17, 20, 23, 26, 29, 32, 35],
  volts: { at: 30, rms: 6 },
  railVoltsPeak: 12.6,
  bassChange: { verdict: 'falls with volume', plateauSettings: [8, 11, 14, 17, 20] },
  equipment: {
    amplifiers: [
      { name: 'mains', feeds: ['front', 'rear'], ratedWatts: 75 },
      { name: 'mono', feeds: ['subwoofer'], ratedWatts: 500, gainOverlapDb: 5 },
    ],
    woofer: { areaCm2: 480, peakTravelMm: 12 },
  },
};

function swapSides(input: PlanInput): PlanInput {
  const other = { left: 'right', right: 'left' } as const;
  const side = <Side extends string>(from: Side) =>
    (from in other ? other[from as 'left' | 'right'] : from) as Side;
  return {
    ...input,
    session: { ...input.session, taps: input.session.taps.map((tap) => ({ ...tap, side: side(tap.side) })) },
    measurements: input.measurements.map((item) => ({ ...item, left: item.right, right: item.left })),
    findings: input.findings.map(
      (finding): Finding =>
        finding.kind === 'routing'
          ? { ...finding, carries: side(finding.carries), leftDb: finding.rightDb, rightDb: finding.leftDb }
          : finding,
    ),
  };
}

function feedBySide(plan: readonly Recommendation[], output: string, side: string) {
  return recommendationsOf(plan, 'feed').find((feed) => feed.output === output && feed.side === side)!;
}

describe('a plan', () => {
  const plan = recommend(planInput(radio));

  it('swaps sides when left and right are swapped', () => {
    const swapped = recommend(swapSides(planInput(radio)));
    for (const output of ['front', 'rear']) {
      for (const [side, other] of [
        ['left', 'right'],
        ['right', 'left'],
      ]) {
        expect(feedBySide(swapped, output, side).taps).toEqual(feedBySide(plan, output, other).taps);
      }
    }
  });

  it('has no reading that falls when the drive rises', () => {
    for (const item of plan) {
      if (item.kind !== 'converter-level' && item.kind !== 'amplifier-gain') continue;
      for (const target of item.targets) {
        const louder = item.targets.find(
          (one) =>
            one.toneHz === target.toneHz &&
            one.restoration === target.restoration &&
            one.driveDbFs > target.driveDbFs,
        );
        if (louder === undefined || isNotMeasurable(louder.voltsRms) || isNotMeasurable(target.voltsRms))
          continue;
        expect(louder.voltsRms.value).toBeGreaterThan(target.voltsRms.value);
      }
    }
  });

  it('has no reading that falls when an amplifier gets more gain overlap or more power', () => {
    const readings = (more: { gainOverlapDb?: number; ratedWatts?: number }) => {
      const [mains, mono] = radio.equipment!.amplifiers!;
      const changed = recommend(
        planInput({ ...radio, equipment: { ...radio.equipment, amplifiers: [mains, { ...mono, ...more }] } }),
      );
      const gain = recommendationsOf(changed, 'amplifier-gain').find(({ output }) => output === 'subwoofer')!;
      return gain.targets.map(({ voltsRms }) => (isNotMeasurable(voltsRms) ? 0 : voltsRms.value));
    };
    const [before, overlapped, stronger] = [
      readings({}),
      readings({ gainOverlapDb: 10 }),
      readings({ ratedWatts: 1000 }),
    ];
    before.forEach((volts, i) => {
      expect(overlapped[i]).toBeGreaterThan(volts);
      expect(stronger[i]).toBeGreaterThan(volts);
    });
  });

  it('moves no target when the recordings are made 6 dB hotter, only the gains', () => {
    const input = planInput(radio);
    const hotter = input.measurements.map((item) => ({
      ...item,
      voltsPerFullScale: { ...item.voltsPerFullScale!, volts: item.voltsPerFullScale!.volts * 2 },
    }));
    const other = recommend({ ...input, measurements: hotter });
    const levels = (items: readonly Recommendation[]) => recommendationsOf(items, 'converter-level');
    levels(plan).forEach((level, i) => {
      const moved = levels(other)[i];
      expect(moved.outputVoltsRms).toBeCloseTo(level.outputVoltsRms, 9);
      if (isNotMeasurable(level.gainDb) || isNotMeasurable(moved.gainDb))
        throw new Error('both are calibrated');
      expect(moved.gainDb.value - level.gainDb.value).toBeCloseTo(-6.0206, 3);
    });
  });

  it('takes the subwoofer output, sums door and dash, and leaves the full-range rears alone', () => {
    expect(feedBySide(plan, 'subwoofer', 'both').taps.map(({ tapId }) => tapId)).toEqual([
      'subwoofer left',
      'subwoofer right',
    ]);
    expect(feedBySide(plan, 'front', 'left').taps.map(({ tapId }) => tapId)).toEqual([
      'door left',
      'dash left',
    ]);
    expect(feedBySide(plan, 'rear', 'left').taps.map(({ tapId }) => tapId)).toEqual(['rear left']);
  });

  it('names only findings that exist', () => {
    const ids = new Set(planInput(radio).findings.map(({ id }) => id));
    for (const item of plan) for (const id of item.restsOn) expect(ids).toContain(id);
  });

  it('is made in well under a second of processor time for eight taps and ten settings', () => {
    const input = planInput(radio);
    const start = process.cpuUsage();
    recommend(input);
    expect(process.cpuUsage(start).user / 1e6).toBeLessThan(1);
  });
});

describe('taps that have no place in a stereo feed', () => {
  it('leaves out a tap that carries the difference of left and right, and a centre', () => {
    const taps = [
      ...pair('front', { response: way('low-pass', 2500) }),
      ...pair('dash', { response: way('high-pass', 2500) }),
      ...pair('centre', { band: FULL_RANGE }),
    ];
    const input = planInput({ taps, settings: [10, 20], volts: null });
    const findings = input.findings.map(
      (finding): Finding =>
        finding.kind === 'routing' && finding.tapIds[0] === 'dash left'
          ? { ...finding, carries: 'difference' }
          : finding,
    );
    const plan = recommend({ ...input, findings });
    expect(feedBySide(plan, 'front', 'left').taps.map(({ tapId }) => tapId)).toEqual(['front left']);
    expect(feedBySide(plan, 'front', 'right').taps.map(({ tapId }) => tapId)).toEqual([
      'front right',
      'dash right',
    ]);
    expect(
      recommendationsOf(plan, 'feed')
        .flatMap((feed) => feed.taps)
        .every(({ tapId }) => !tapId.startsWith('centre')),
    ).toBe(true);
  });
});

it('names the output that stays with the radio beside a full-range one', () => {
  const taps = [...pair('door', { band: FULL_RANGE }), ...pair('dash', { response: way('high-pass', 2500) })];
  const plan = recommend(planInput({ taps, settings: [10, 20], volts: null }));
  const front = feedBySide(plan, 'front', 'left');
  expect(front.taps.map(({ tapId }) => tapId)).toEqual(['door left']);
  expect(front.leftWithRadio).toEqual(['dash left']);
  expect(recommendationsOf(plan, 'protection')).toEqual([]);
});

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

it('gives a plan, and no reading, from a session without any finding', () => {
  const input = planInput({ taps: pair('front'), settings: [10], volts: null });
  const plan = recommend({ ...input, findings: [] });
  expect(recommendationsOf(plan, 'highest-clean-setting')[0].recorded).toBeNull();
  expect(recommendationsOf(plan, 'feed').length).toBeGreaterThan(0);
});

it('plans with a single tap, and with one whose side nobody noted', () => {
  const [left] = pair('rear', { band: FULL_RANGE });
  const input = planInput({ taps: [left], settings: [10, 20], volts: { at: 20, rms: 2 } });
  const [feed] = recommendationsOf(recommend(input), 'feed');
  expect(feed.taps.map(({ tapId }) => tapId)).toEqual(['rear left']);
  // Programme right is not on it at all.
  expect(feed.programmes!.right.bandHz).toBeNull();
  const taps = input.session.taps.map((tap) => ({
    ...tap,
    side: 'unknown' as const,
    position: 'unknown' as const,
  }));
  const again = recommend({ ...input, session: { ...input.session, taps } });
  expect(recommendationsOf(again, 'feed')[0]).toMatchObject({ output: 'front', side: 'left' });
  expect(recommend({ ...input, measurements: [] })).toEqual([]);
});

describe('what an installer reads first', () => {
  it('names a tap with bass where all clip together, and confirms the radio by one that carries the tone', () => {
    const plan = recommend(
      planInput({
        taps: [
          ...pair('dash', { response: way('high-pass', 2500) }),
          ...pair('door', { response: way('low-pass', 2500) }),
        ],
        settings: [20, 24, 28, 32],
        volts: { at: 30, rms: 6.85 },
        clean: { highestCleanRecorded: 28, firstClippingRecorded: 32, highestCleanComputed: 31 },
      }),
    );
    expect(recommendationsOf(plan, 'highest-clean-setting')[0].limitingTapId).toMatch(/^door/);
    const [confirm] = recommendationsOf(plan, 'confirm');
    expect(confirm.tapId).toMatch(/^door/);
    if (isNotMeasurable(confirm.voltsRms)) throw new Error(reasonText(confirm.voltsRms.notMeasurable));
    expect(confirm.voltsRms.value).toBeGreaterThan(1);
  });

  it('says what cannot be done before what is to be set', () => {
    const plan = recommend(
      planInput({
        ...radio,
        equipment: { ...radio.equipment, converter: { inputs: 2, inputLimitVoltsRms: 20 } },
      }),
    );
    const kinds = plan.map(({ kind }) => kind);
    expect(kinds.indexOf('cannot-be-done')).toBeGreaterThan(kinds.indexOf('order'));
    expect(kinds.indexOf('cannot-be-done')).toBeLessThan(kinds.indexOf('converter-level'));
  });
});

it('feeds a centre from its own tap, where an amplifier is to feed one', () => {
  const taps = [
    ...pair('front', { band: FULL_RANGE }),
    { id: 'middle', side: 'left', position: 'centre' } as const,
  ];
  const centreOf = (feeds: ('front' | 'centre')[]) =>
    recommendationsOf(
      recommend(
        planInput({
          taps,
          settings: [20, 24, 28],
          volts: { at: 30, rms: 6 },
          equipment: { amplifiers: [{ feeds, ratedWatts: 75 }] },
        }),
      ),
      'feed',
    ).filter(({ output }) => output === 'centre');
  expect(centreOf(['front'])).toEqual([]);
  const [feed] = centreOf(['front', 'centre']);
  expect(feed.taps.map(({ tapId }) => tapId)).toEqual(['middle']);
  expect(feed.summed).toBe(false);
});

it('turns down the stronger of two bands by the decibels that it is stronger by, and orders what can', () => {
  const loud = 10 ** (5 / 20);
  const low = way('low-pass', 1200);
  const taps = [
    ...pair('door', {
      response: (hz: number) => ({ real: loud * low(hz).real, imag: loud * low(hz).imag }),
    }),
    ...pair('dash', { response: way('high-pass', 1200) }),
  ];
  const plan = recommend(planInput({ taps, settings: [20, 24, 28], volts: null }));
  const { taps: used } = feedBySide(plan, 'front', 'left');
  expect(used.find(({ tapId }) => tapId === 'door left')!.trimDb).toBe(-5);
  expect(used.find(({ tapId }) => tapId === 'dash left')!.trimDb).toBe(0);
  expect(recommendationsOf(plan, 'order')[0].converterClass).toBe('digital processor');
});
