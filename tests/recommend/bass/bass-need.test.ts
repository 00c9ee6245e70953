import { describe, expect, it } from 'vitest';
import { evaluateSections, lowShelfSections, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import { asWritten } from '../../../src/model/reason.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, pair, planInput, type SyntheticRadio } from '../synthetic.ts';

const SETTINGS = [10, 16, 20, 24, 28, 32];
const notKnown: SyntheticRadio['bassChange'] = {
  verdict: 'cannot be told',
  reason: asWritten(
    'no three neighbouring settings agree within 0.5 dB, so there is no reference for a loss',
  ),
  plateauSettings: [],
  changes: [],
};
const atLeast: SyntheticRadio['bassChange'] = {
  ...notKnown,
  atLeast: { fromSetting: 10, toSetting: 32, atHz: 40, lossDb: measured({ value: 17.4, plusMinus: 0.1 }) },
};

function multiply(one: { real: number; imag: number }, other: { real: number; imag: number }) {
  return {
    real: one.real * other.real - one.imag * other.imag,
    imag: one.real * other.imag + one.imag * other.real,
  };
}

/** A high-pass whose corner climbs with the setting. */
function climbing(order: number, cornerHz: Readonly<Record<number, number>>) {
  const sections = prototypeSections({ family: 'butterworth', order, side: 'high-pass' });
  return (frequencyHz: number, setting: number) =>
    evaluateSections(sections, { frequencyHz, cornerHz: cornerHz[setting], sampleRateHz: null });
}

function restorationOf(radio: Omit<SyntheticRadio, 'settings' | 'volts'>) {
  const plan = recommend(planInput({ ...radio, settings: SETTINGS, volts: null }));
  return recommendationsOf(plan, 'restoration')[0];
}

describe('a subwoofer output where no tap is full range', () => {
  const low = prototypeSections({ family: 'linkwitz-riley', order: 4, side: 'low-pass' });
  const lossDb: Record<number, number> = { 10: 0, 16: 0, 20: 0, 24: -3, 28: -7, 32: -10 };
  const edge = (minus6Hz: number) => ({
    minus3Hz: notMeasurable(asWritten('not needed here')),
    minus6Hz: measured({ value: minus6Hz, plusMinus: 1 }),
    slopeDbPerOctave: 24,
    filter: notMeasurable(asWritten('not needed here')),
  });
  const taps = [
    ...pair('door', {
      response: (hz) =>
        evaluateSections(prototypeSections({ family: 'butterworth', order: 2, side: 'high-pass' }), {
          frequencyHz: hz,
          cornerHz: 90,
          sampleRateHz: null,
        }),
      band: { lowEdge: edge(68), highEdge: edge(3500) },
    }),
    ...pair('subwoofer', {
      response: (hz, setting) =>
        multiply(
          evaluateSections(low, { frequencyHz: hz, cornerHz: 85, sampleRateHz: null }),
          evaluateSections(lowShelfSections({ gainDb: lossDb[setting] }), {
            frequencyHz: hz,
            cornerHz: 80,
            sampleRateHz: null,
          }),
        ),
      band: { highEdge: edge(85) },
    }),
  ];

  it('its loss is found and restored from its own settings: 9.3 dB at 40 Hz of a shelf of 10 dB at 80 Hz', () => {
    const item = restorationOf({
      taps,
      bassChange: { verdict: 'falls with volume', plateauSettings: [10, 16, 20] },
    });
    expect(item.verdict).toBe('restore');
    // The shelf's closed form at 40 Hz (W3C Audio EQ Cookbook).
    const { real, imag } = evaluateSections(lowShelfSections({ gainDb: -10 }), {
      frequencyHz: 40,
      cornerHz: 80,
      sampleRateHz: null,
    });
    const atForty = -20 * Math.log10(Math.hypot(real, imag));
    expect(atForty).toBeCloseTo(9.3, 1);
    expect(item.loss).toMatchObject({ atLeast: false, atHz: 40 });
    expect(item.loss!.db).toBeCloseTo(atForty, 1);
    expect(item.shelf!.gainDb).toBeCloseTo(10, 0);
    expect(item.limitedBy).toBe('nothing');
    expect(item.holdsUpToSetting).toBe(32);
  });

  it('by the volume law of another tap where they were not recorded together', () => {
    const apart = taps.map((tap) =>
      tap.position === 'subwoofer' ? { ...tap, timeOrigin: 'another file' } : tap,
    );
    const item = restorationOf({
      taps: apart,
      bassChange: { verdict: 'falls with volume', plateauSettings: [10, 16, 20] },
    });
    expect(item.loss!.db).toBeCloseTo(9.3, 1);
  });

  it('cannot be told, and says so, where nothing tells volume from bass', () => {
    const alone = taps.filter(({ position }) => position === 'subwoofer');
    const item = restorationOf({
      taps: alone,
      bassChange: { verdict: 'falls with volume', plateauSettings: [10, 16, 20] },
    });
    expect(item.verdict).toBe('cannot be told');
    expect(item.reasons).toContainEqual({ code: 'no converter before the loss is known' });
  });
});

describe('a loss without a plateau that the finding tells', () => {
  const corners = { 10: 20, 16: 20, 20: 45, 24: 70, 28: 95, 32: 110 };

  it('is at least as much as it is between the lowest setting and the one with least bass', () => {
    const taps = pair('front', { band: FULL_RANGE, response: climbing(2, corners) });
    const item = restorationOf({ taps, bassChange: atLeast });
    // |H|^2 = r^4/(1 + r^4): 20 against 110 Hz at 40 Hz.
    const db = (cornerHz: number) => 10 * Math.log10((40 / cornerHz) ** 4 / (1 + (40 / cornerHz) ** 4));
    expect(item.loss).toMatchObject({ atLeast: true, atHz: 40, betweenSettings: [10, 32] });
    expect(item.loss!.db).toBeCloseTo(db(20) - db(110), 1);
    expect(item.loss!.db).toBeCloseTo(17.4, 1);
    // 12 dB are enough at 40 Hz up to 24 (70 Hz: 9.9 dB), no longer at 28 (95 Hz: 14.9 dB).
    expect(item).toMatchObject({ verdict: 'restore', holdsUpToSetting: 24, limitedBy: '12 dB' });
  });

  it('of a steep high-pass: up to which setting the plan holds, how deep the boost reaches, and no shelf of 81 dB', () => {
    const steep = { 10: 20, 16: 20, 20: 35, 24: 90, 28: 130, 32: 160 };
    const taps = pair('front', { band: FULL_RANGE, response: climbing(4, steep) });
    const item = restorationOf({ taps, bassChange: atLeast });
    expect(item.holdsUpToSetting).toBe(20);
    // |H|^2 = r^8/(1 + r^8) is 12.5 dB down at r = (10^1.25 - 1)^(-1/8): a little over 12 dB are let pass.
    expect(item.reachesDownToHz! / (160 * (10 ** 1.25 - 1) ** (-1 / 8))).toBeCloseTo(1, 1);
    if (item.shelf !== null) expect(item.shelf.gainDb).toBeLessThanOrEqual(12.5);
    expect(item.reasons).toContainEqual({ code: 'stay below or tap ahead', setting: 20 });
  });

  it('is nothing to restore where the finding does not: a loudness contour, a wander of a decibel', () => {
    const lift: Record<number, number> = { 10: 9, 16: 6, 20: 4, 24: 2.5, 28: 1, 32: 0 };
    const contour = (hz: number, setting: number) => {
      const at = (cornerHz: number) => ({ frequencyHz: hz, cornerHz, sampleRateHz: null });
      const bass = evaluateSections(lowShelfSections({ gainDb: lift[setting] }), at(120));
      const treble = evaluateSections(lowShelfSections({ gainDb: -lift[setting] / 2 }), at(4000));
      return multiply(bass, treble);
    };
    const told = restorationOf({
      taps: pair('front', { band: FULL_RANGE, response: contour }),
      bassChange: notKnown,
    });
    expect(told.verdict).toBe('cannot be told');
    const wander = restorationOf({
      taps: pair('front', {
        band: FULL_RANGE,
        response: (hz, setting) => ({ real: hz < 100 ? 1 - 0.002 * setting : 1, imag: 0 }),
      }),
      bassChange: notKnown,
    });
    expect(wander.verdict).toBe('cannot be told');
  });
});

describe('no bass at any output', () => {
  const high = prototypeSections({ family: 'butterworth', order: 4, side: 'high-pass' });
  const planFor = (cornerHz: number) =>
    recommend(
      planInput({
        taps: pair('front', {
          response: (hz) => evaluateSections(high, { frequencyHz: hz, cornerHz, sampleRateHz: null }),
          band: {
            lowEdge: {
              minus3Hz: measured({ value: cornerHz, plusMinus: 1 }),
              minus6Hz: notMeasurable(asWritten('not needed here')),
              slopeDbPerOctave: 24,
              filter: notMeasurable(asWritten('not needed here')),
            },
          },
        }),
        settings: SETTINGS,
        volts: { at: 20, rms: 3 },
        equipment: { amplifiers: [{ feeds: ['front', 'subwoofer'], ratedWatts: 300 }] },
      }),
    );

  it('gives the subwoofer no feed, no filter and no gain, and says so', () => {
    const plan = planFor(160);
    expect(plan.filter((item) => 'output' in item && item.output === 'subwoofer')).toEqual([]);
    const limits = recommendationsOf(plan, 'cannot-be-done').map(({ bindingLimit }) => bindingLimit);
    expect(limits).toContainEqual({ code: 'no bass at any output', fromHz: 160 });
  });

  it('is not said of outputs that restoration could bring back', () => {
    expect(recommendationsOf(planFor(60), 'feed').some(({ output }) => output === 'subwoofer')).toBe(true);
  });
});
