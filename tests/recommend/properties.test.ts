import { describe, expect, it } from 'vitest';
import type { Finding } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { type Recommendation, recommendationsOf } from '../../src/model/recommendation.ts';
import type { PlanInput } from '../../src/recommend/plan-context.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { recommend } from './recommend.ts';
import { feedBySide, way } from './split-feeds.ts';
import { FULL_RANGE, gainDb, pair, planInput, type SyntheticRadio } from './synthetic.ts';

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
