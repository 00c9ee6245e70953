import { describe, expect, it } from 'vitest';
import { evaluateSections, type FilterFamily, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import type { BandEdge } from '../../../src/model/finding.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import { asWritten } from '../../../src/model/reason.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, pair, planInput, type SyntheticTap } from '../synthetic.ts';

interface Way {
  readonly side: 'high-pass' | 'low-pass';
  readonly family: FilterFamily;
  readonly order: number;
  readonly cornerHz: number;
}

function response({ cornerHz, ...way }: Way) {
  const sections = prototypeSections(way);
  return (frequencyHz: number) => evaluateSections(sections, { frequencyHz, cornerHz, sampleRateHz: null });
}

function edge({ family, order, cornerHz }: Way): BandEdge {
  return {
    minus3Hz: notMeasurable(asWritten('not needed here')),
    minus6Hz: notMeasurable(asWritten('not needed here')),
    slopeDbPerOctave: 6 * order,
    filter: { family, order, cornerHz: measured({ value: cornerHz, plusMinus: 0.1 }) },
  };
}

function mains(cornerHz: number | null): SyntheticTap[] {
  if (cornerHz === null) return pair('front', { band: FULL_RANGE });
  const way: Way = { side: 'high-pass', family: 'butterworth', order: 2, cornerHz };
  return pair('front', {
    response: response(way),
    band: { verdict: 'band-limited', lowEdge: edge(way), highEdge: null },
  });
}

function subwoofer(cornerHz: number): SyntheticTap[] {
  const way: Way = { side: 'low-pass', family: 'linkwitz-riley', order: 4, cornerHz };
  return pair('subwoofer', { response: response(way), band: { highEdge: edge(way) } });
}

function filtersOf(taps: readonly SyntheticTap[], equipment: EquipmentInput | null = null) {
  const plan = recommend(planInput({ taps, settings: [12, 16, 20, 24], volts: null, equipment }));
  const filters = recommendationsOf(plan, 'filter');
  return (output: string, type: string) => filters.find((one) => one.output === output && one.type === type)!;
}

const amplifiers = (highSlope: number, lowSlope: number): EquipmentInput => ({
  amplifiers: [
    { feeds: ['front'], ratedWatts: 60, highPass: { rangeHz: [50, 250], slopeDbPerOctave: highSlope } },
    { feeds: ['subwoofer'], ratedWatts: 500, lowPass: { rangeHz: [40, 160], slopeDbPerOctave: lowSlope } },
  ],
});

describe('a filter that the radio has', () => {
  it.each([
    [45, 'open'],
    [90, 'open'],
    [150, 'open'],
    [30, 'set'],
    [null, 'set'],
  ] as const)('mains from %s Hz: the amplifier’s high-pass is %s', (cornerHz, state) => {
    const filter = filtersOf([...mains(cornerHz), ...pair('rear', { band: FULL_RANGE })])(
      'front',
      'high-pass',
    );
    expect(filter.state).toBe(state);
    if (state === 'open') expect(filter).toMatchObject({ cornerHz, slopeDbPerOctave: 12 });
  });

  it.each([
    [85, 'open'],
    [150, 'open'],
    [200, 'set'],
  ] as const)('subwoofer up to %s Hz: the amplifier’s low-pass is %s', (cornerHz, state) => {
    const filter = filtersOf([...mains(null), ...subwoofer(cornerHz)])('subwoofer', 'low-pass');
    expect(filter.state).toBe(state);
  });

  it('has its price: a second Butterworth at 80 Hz takes 3.01 dB more there', () => {
    const filters = filtersOf([...mains(90), ...subwoofer(85)]);
    // |H|^2 = r^4/(1 + r^4) with r = 80/90, and 1/(1 + r^4)^2 with r = 80/85: their closed forms.
    const { price: high } = filters('front', 'high-pass');
    expect(high!.aloneDb).toBeCloseTo(-4.15, 2);
    expect(high!.withSecondDb).toBeCloseTo(-4.15 - 3.01, 2);
    const { price: low } = filters('subwoofer', 'low-pass');
    expect(low!.aloneDb).toBeCloseTo(-5.03, 2);
    expect(low!.withSecondDb).toBeCloseTo(-5.03 - 3.01, 2);
  });

  it('is not enough for speakers whose maker asks for more', () => {
    const speakers = { speakers: [{ feeds: 'front' as const, lowestHz: 120 }] };
    expect(
      filtersOf([...mains(70), ...pair('rear', { band: FULL_RANGE })], speakers)('front', 'high-pass'),
    ).toMatchObject({ state: 'set', cornerHz: 120 });
  });
});

it('prints the slope of each part, and starts by the sum of both', () => {
  for (const [highSlope, lowSlope, startWith] of [
    [12, 24, 'either'],
    [12, 12, 'inverted'],
    [24, 24, 'as wired'],
    [18, 24, 'as wired'],
    [12, 18, 'inverted'],
  ] as const) {
    const filters = filtersOf(mains(null), amplifiers(highSlope, lowSlope));
    expect(filters('front', 'high-pass').slopeDbPerOctave).toBe(highSlope);
    expect(filters('subwoofer', 'low-pass').slopeDbPerOctave).toBe(lowSlope);
    expect(filters('subwoofer', 'low-pass').handOver!.startWith).toBe(startWith);
  }
});
