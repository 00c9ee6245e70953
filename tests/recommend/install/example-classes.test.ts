import { describe, expect, it } from 'vitest';
import { evaluateSections, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { amplifierSchema, converterSchema, wooferSchema } from '../../../src/model/equipment.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import {
  exampleAmplifiers,
  exampleConverters,
  exampleWoofers,
} from '../../../src/recommend/install/example-classes.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, gainDb, pair, planInput, type SyntheticRadio } from '../synthetic.ts';

it('every example class is valid equipment', () => {
  for (const one of Object.values(exampleConverters)) expect(() => converterSchema.parse(one)).not.toThrow();
  for (const one of Object.values(exampleAmplifiers)) expect(() => amplifierSchema.parse(one)).not.toThrow();
  for (const one of Object.values(exampleWoofers)) expect(() => wooferSchema.parse(one)).not.toThrow();
});

it('an example amplifier has the channels that it is called for', () => {
  const channels = Object.fromEntries(
    Object.entries(exampleAmplifiers).map(([name, one]) => [name, amplifierSchema.parse(one).channels]),
  );
  expect(channels).toEqual({ 'two channels': 2, 'four channels': 4, 'five channels': 5, mono: 1 });
});

// Small, JAES 1972: Q in the box is Qts sqrt(1 + Vas / Vb); sealed boxes are built for 0.7 to 1 (common practice).
it('an example woofer in its box is neither dead nor booming', () => {
  for (const { qts, vasLitres, boxLitres } of Object.values(exampleWoofers)) {
    const q = qts! * Math.sqrt(1 + vasLitres! / boxLitres!);
    expect(q).toBeGreaterThan(0.7);
    expect(q).toBeLessThan(1);
  }
});

const way = (side: 'low-pass' | 'high-pass') => {
  const sections = prototypeSections({ family: 'linkwitz-riley', order: 4, side });
  return (frequencyHz: number) =>
    evaluateSections(sections, { frequencyHz, cornerHz: 3000, sampleRateHz: null });
};

describe('the class on the order sheet does the job: planned again with it, nothing is left to order', () => {
  const base = { settings: [12, 16, 20, 24], volts: { at: 24, rms: 5 } } as const;
  const cases: Record<string, SyntheticRadio> = {
    'gain only': { ...base, taps: pair('front', { band: FULL_RANGE }) },
    summing: {
      ...base,
      taps: [...pair('door', { response: way('low-pass') }), ...pair('dash', { response: way('high-pass') })],
    },
    'summing with restoration': {
      ...base,
      taps: pair('front', {
        band: FULL_RANGE,
        response: (hz, setting) => gainDb(hz < 150 && setting > 20 ? -6 : 0),
      }),
      bassChange: { verdict: 'falls with volume', plateauSettings: [12, 16, 20] },
    },
    'digital processor': {
      ...base,
      taps: [
        ...pair('door', { response: way('low-pass') }),
        ...pair('dash', { response: way('high-pass'), delaySeconds: 300e-6 }),
      ],
    },
  };
  it.each(Object.keys(cases))('%s', (name) => {
    const before = recommendationsOf(recommend(planInput(cases[name])), 'order')[0];
    expect(before).toMatchObject({ converterClass: name, nothingToOrder: false });
    const with_ = planInput({ ...cases[name], equipment: { converter: exampleConverters[name] } });
    expect(recommendationsOf(recommend(with_), 'order')[0]).toMatchObject({
      nothingToOrder: true,
      given: { shortfalls: [] },
    });
  });
});

describe('the subwoofer against the mains at the radio’s outputs', () => {
  const startOf = (sign: number, timeOrigin?: string) => {
    const taps = [
      ...pair('front', { band: FULL_RANGE }),
      ...pair('subwoofer', { response: () => ({ real: sign, imag: 0 }), timeOrigin }),
    ];
    const plan = recommend(planInput({ taps, settings: [12, 16, 20], volts: null }));
    const lowPass = recommendationsOf(plan, 'filter').find(({ output }) => output === 'subwoofer')!;
    return lowPass.handOver!;
  };
  it('starts as wired where they agree, inverted where the radio turns one, and by the filters alone without timing', () => {
    expect(startOf(1)).toMatchObject({ startWith: 'as wired', basis: 'radio and filters' });
    expect(startOf(-1)).toMatchObject({ startWith: 'inverted', basis: 'radio and filters' });
    expect(startOf(1, 'another file')).toMatchObject({ startWith: 'as wired', basis: 'filters alone' });
  });
});
