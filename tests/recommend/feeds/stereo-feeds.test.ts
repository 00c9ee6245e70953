import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../src/model/finding.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { recommend } from '../recommend.ts';
import { feedBySide, way } from '../split-feeds.ts';
import { FULL_RANGE, pair, planInput } from '../synthetic.ts';

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
