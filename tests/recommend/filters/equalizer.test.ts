import { describe, expect, it } from 'vitest';
import { evaluateSections, highShelfSections, lowShelfSections } from '../../../src/dsp/filter-prototype.ts';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, pair, planInput, type SyntheticRadio } from '../synthetic.ts';

const PARTS: EquipmentInput = {
  converter: { inputs: 4, inputLimitVoltsRms: 20, eqBands: 8 },
  amplifiers: [{ feeds: ['front'], ratedWatts: 75 }],
};

function plan(
  response: NonNullable<SyntheticRadio['taps'][number]['response']>,
  fixedEq: { frequencyHz: number; gainDb: number; q: number }[] = [],
  more: EquipmentInput = {},
) {
  const taps = pair('front', { band: { ...FULL_RANGE, fixedEq }, response });
  return recommend(
    planInput({ taps, settings: [12, 16, 20], volts: { at: 20, rms: 3 }, equipment: { ...PARTS, ...more } }),
  );
}

const shelf = (sections: ReturnType<typeof lowShelfSections>, cornerHz: number) => (frequencyHz: number) =>
  evaluateSections(sections, { frequencyHz, cornerHz, sampleRateHz: null });

describe('the equaliser', () => {
  it.each([
    ['low shelf', 5, 200],
    ['low shelf', -6, 320],
    ['high shelf', 6, 5000],
    ['high shelf', -4, 2500],
  ] as const)('undoes a %s of %s dB at %s Hz by a shelf the other way', (kind, gainDb, cornerHz) => {
    const sections = kind === 'low shelf' ? lowShelfSections({ gainDb }) : highShelfSections({ gainDb });
    const [item] = recommendationsOf(plan(shelf(sections, cornerHz)), 'equalizer');
    const [band] = item.bands;
    // Undone by a low shelf down or a high shelf up: the same but for the level.
    const direction = band.shape === kind ? -1 : 1;
    expect(Math.abs(band.gainDb - direction * gainDb)).toBeLessThanOrEqual(1);
    expect(item.rippleAfterDb).toBeLessThan(1.2);
    expect(item.rippleAfterDb).toBeLessThan(item.rippleBeforeDb / 3);
    expect(item.headroomDb!).toBeLessThanOrEqual(6.001);
  });

  it('stands before the gains, leaves what is within 3 dB, a notch, and factory speakers', () => {
    const slope = shelf(lowShelfSections({ gainDb: 5 }), 200);
    const kinds = plan(slope).map(({ kind }) => kind);
    expect(kinds.indexOf('equalizer')).toBeLessThan(kinds.indexOf('converter-level'));
    const flat = () => ({ real: 1, imag: 0 });
    expect(recommendationsOf(plan(flat, [{ frequencyHz: 1000, gainDb: 2.5, q: 1 }]), 'equalizer')).toEqual(
      [],
    );
    expect(recommendationsOf(plan(flat, [{ frequencyHz: 1000, gainDb: -9, q: 6 }]), 'equalizer')).toEqual([]);
    const factory = { speakers: [{ feeds: 'front' as const, factory: true }] };
    expect(recommendationsOf(plan(slope, [], factory), 'equalizer')).toEqual([]);
  });

  it('undoes humps of 3 dB and more, the largest first, and dips as wide as Q 3', () => {
    const flat = () => ({ real: 1, imag: 0 });
    const bands = (...fixedEq: [frequencyHz: number, gainDb: number, q: number][]) =>
      (
        recommendationsOf(
          plan(
            flat,
            fixedEq.map(([frequencyHz, gainDb, q]) => ({ frequencyHz, gainDb, q })),
          ),
          'equalizer',
        )[0]?.bands ?? []
      ).map(({ frequencyHz, gainDb }) => [frequencyHz, gainDb]);
    expect([bands([900, 2.9, 1]), bands([900, 3.1, 1])]).toEqual([[], [[900, -3.1]]]);
    expect([bands([900, -4, 2.9]), bands([900, -4, 3.1])]).toEqual([[[900, 4]], []]);
    expect(bands([900, 4, 9], [300, -5, 1], [2000, 8, 1]).slice(0, 3)).toEqual([
      [2000, -8],
      [900, -4],
      [300, 5],
    ]);
  });

  it('fills a wide dip by 6 dB at most', () => {
    const flat = () => ({ real: 1, imag: 0 });
    const [item] = recommendationsOf(plan(flat, [{ frequencyHz: 1000, gainDb: -9, q: 1 }]), 'equalizer');
    expect(item.bands).toEqual([{ shape: 'peak', frequencyHz: 1000, gainDb: 6, q: 1 }]);
    expect(item.headroomDb).toBeCloseTo(6, 1);
  });
});
