import { describe, expect, it } from 'vitest';
import { evaluateSections, prototypeSections } from '../../src/dsp/filter-prototype.ts';
import { equipmentSchema } from '../../src/model/equipment.ts';
import { fromRecord, toRecord } from '../../src/model/measurement-record.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { comparePlans } from '../../src/recommend/compare-plans.ts';
import { recommend } from './recommend.ts';
import { FULL_RANGE, gainDb, pair, planInput } from './synthetic.ts';

const way = (side: 'low-pass' | 'high-pass') => {
  const sections = prototypeSections({ family: 'linkwitz-riley', order: 2, side });
  return (frequencyHz: number) =>
    evaluateSections(sections, { frequencyHz, cornerHz: 3000, sampleRateHz: null });
};
const mains = { name: 'mains', feeds: ['front' as const], ratedWatts: 75 };
const small = {
  amplifiers: [mains, { name: 'mono', feeds: ['subwoofer' as const], ratedWatts: 200 }],
  woofer: { areaCm2: 210, peakTravelMm: 9, ohms: 4 },
};
const input = planInput({
  taps: [
    ...pair('door', { response: way('low-pass') }),
    ...pair('dash', { response: way('high-pass'), delaySeconds: 100e-6 }),
    ...pair('rear', {
      band: FULL_RANGE,
      response: (hz, setting) => gainDb(hz < 150 && setting > 20 ? -4 : 0),
    }),
  ],
  settings: [12, 16, 20, 24, 28, 32],
  volts: { at: 30, rms: 6.85 },
  railVoltsPeak: 12.6,
  bassChange: { verdict: 'falls with volume', plateauSettings: [12, 16, 20] },
  equipment: small,
});

describe('planning again from what the results file keeps', () => {
  const before = recommend(input);
  // Through JSON and back: magnitudes to 0.0001 dB, phases to 0.001 degree.
  const measurements = input.measurements.map((item) =>
    fromRecord(JSON.parse(JSON.stringify(toRecord(item)))),
  );

  it('gives the same plan as the recordings did', () => {
    const again = recommend({ ...input, measurements });
    expect(again.map(({ id }) => id)).toEqual(before.map(({ id }) => id));
    const feeds = (plan: typeof before) => recommendationsOf(plan, 'feed').map(({ taps }) => taps);
    expect(feeds(again)).toEqual(feeds(before));
    const { added, dropped } = comparePlans({ before, after: again });
    expect([...added, ...dropped]).toEqual([]);
  });

  it('changes the subwoofer’s gain and reach for a larger woofer and amplifier, and leaves the rest', () => {
    const larger = equipmentSchema.parse({
      amplifiers: [mains, { name: 'mono', feeds: ['subwoofer'], ratedWatts: 1000 }],
      woofer: { areaCm2: 480, peakTravelMm: 14, ohms: 4 },
    });
    const { stays, changes, added, dropped } = comparePlans({
      before,
      after: recommend({ ...input, equipment: larger }),
    });
    expect(changes.map(({ id }) => id)).toEqual(
      expect.arrayContaining(['amplifier-gain-subwoofer', 'bass-reach', 'supply']),
    );
    expect(stays).toEqual(
      expect.arrayContaining([
        'feed-front-left',
        'feed-subwoofer',
        'restoration',
        'highest-clean-setting',
        'converter-level-subwoofer',
        'amplifier-gain-front',
        'confirm',
      ]),
    );
    expect([...added, ...dropped]).toEqual([]);
  });
});
