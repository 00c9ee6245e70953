import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../src/model/finding.ts';
import { codeOf } from '../../../src/model/reason.ts';
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

describe('left and right of one feed', () => {
  type Complex = { real: number; imag: number };
  const times = (a: Complex, b: Complex) => ({
    real: a.real * b.real - a.imag * b.imag,
    imag: a.real * b.imag + a.imag * b.real,
  });
  /** 1 / (1 + sqrt(2) s + s^2), Butterworth of the second order, times s^2 for its high-pass; s = jf / fc. */
  const butterworth = (side: 'low-pass' | 'high-pass', cornerHz: number) => (hz: number) => {
    const ratio = hz / cornerHz;
    const [re, im] = [1 - ratio ** 2, Math.SQRT2 * ratio];
    const size = (re ** 2 + im ** 2) / (side === 'high-pass' ? -(ratio ** 2) : 1);
    return { real: re / size, imag: -im / size };
  };
  /** (1 - sqrt(2) s + s^2) / (1 + sqrt(2) s + s^2): a turn of 360 degrees, half of it at the corner. */
  const allPass = (cornerHz: number) => (hz: number) => {
    const low = butterworth('low-pass', cornerHz)(hz);
    const angle = 2 * Math.atan2(low.imag, low.real);
    return { real: Math.cos(angle), imag: Math.sin(angle) };
  };
  const [doorWay, dashWay] = [butterworth('low-pass', 5000), butterworth('high-pass', 600)];
  const sides = (of: { doorLeft?: (hz: number) => Complex; dashRight?: (hz: number) => Complex } = {}) => {
    const [doorLeft, doorRight] = pair('door', { response: doorWay });
    const [dashLeft, dashRight] = pair('dash', { response: dashWay });
    const taps = [
      { ...doorLeft, response: of.doorLeft ?? doorWay },
      doorRight,
      dashLeft,
      { ...dashRight, response: of.dashRight ?? dashWay },
    ];
    const plan = recommend(
      planInput({ taps, settings: [10, 20], volts: null, equipment: { converter: CONVERTER } }),
    );
    return (['left', 'right'] as const).map((side) => feedBySide(plan, 'front', side));
  };
  const CONVERTER = {
    inputs: 4,
    inputLimitVoltsRms: 15,
    summing: 'any',
    trimRangeDb: [-12, 0] as [number, number],
  } as const;
  const shape = ({ taps }: ReturnType<typeof feedBySide>) =>
    taps.map(({ polarity, trimDb }) => [polarity, trimDb]);

  it('cancel where bands overlap by three octaves, which is what keeps the sum even: no reason to say no', () => {
    const [left, right] = sides();
    expect(shape(left)).toEqual([
      ['as wired', 0],
      ['inverted', 0],
    ]);
    expect(shape(right)).toEqual(shape(left));
    expect(left.programmes!.left.rippleDb).toBeLessThan(3);
    expect(left.programmes!.left.worstDipDb).toBeLessThan(-6);
  });

  it('are fed alike though one has an all-pass, where neither is much the worse for it', () => {
    const [left, right] = sides({ doorLeft: (hz) => times(doorWay(hz), allPass(200)(hz)) });
    expect(shape(left)).toEqual(shape(right));
    const reasons = right.runnersUp.map(({ lostBecause }) => codeOf(lostBecause));
    expect(reasons).toContain('sides would differ');
  });

  it('are not where the radio turns one of them over', () => {
    const [left, right] = sides({ dashRight: (hz) => times(dashWay(hz), { real: -1, imag: 0 }) });
    expect(shape(left)[1]).toEqual(['inverted', 0]);
    expect(shape(right)[1]).toEqual(['as wired', 0]);
  });
});
