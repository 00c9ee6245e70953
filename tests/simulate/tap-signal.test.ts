import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { Scenario, TapInput } from '../../src/simulate/scenario.ts';
import { tapSignal } from '../../src/simulate/tap-signal.ts';
import { trueBassChangeDb } from '../../src/simulate/true-bass.ts';
import { trueClipOnset } from '../../src/simulate/true-clipping.ts';
import { trueResponse } from '../../src/simulate/true-response.ts';
import { sine, thdOf, toneAmplitude } from './tone.ts';

// scipy 1.10, by tests/references/filters.py.
const reference = JSON.parse(readFileSync(new URL('../references/filters.json', import.meta.url), 'utf8'));

const PLAIN: TapInput = {
  id: 'tap',
  side: 'left',
  volume: { atSetting: 10, voltsRms: Math.SQRT1_2, dbPerStep: 1 },
};

function oneTap(tap: Partial<TapInput>, sampleRateHz: 44_100 | 48_000 = 48_000): Scenario {
  return resolveScenario({
    settings: [10],
    taps: [{ ...PLAIN, ...tap }],
    recorder: { sampleRateHz, clockPpm: 0 },
  });
}

/** The tap's output for a sound that is on the left channel alone. */
function driven(scenario: Scenario, left: Float64Array, setting = 10): Float64Array {
  const track = (side: 'left' | 'right') => (side === 'left' ? left.slice() : new Float64Array(left.length));
  return tapSignal(scenario, { tap: scenario.taps[0], track })(setting);
}

function impulse(count: number): Float64Array {
  const samples = new Float64Array(count);
  samples[0] = 1;
  return samples;
}

/** Fourier transform of an impulse response at one frequency. */
function responseAt(
  samples: Float64Array,
  frequencyHz: number,
  sampleRateHz: number,
): { real: number; imag: number } {
  let real = 0;
  let imag = 0;
  samples.forEach((sample, n) => {
    const angle = (2 * Math.PI * frequencyHz * n) / sampleRateHz;
    real += sample * Math.cos(angle);
    imag -= sample * Math.sin(angle);
  });
  return { real, imag };
}

test('the impulse response through each crossover filter has the spectrum that scipy computes', () => {
  const chosen = reference.filters.filter(({ order }: { order: number }) => [2, 3, 8].includes(order));
  for (const fixture of chosen) {
    const { side, family, order, cornerHz, sampleRateHz } = fixture;
    const scenario = oneTap({ crossover: [{ side, family, order, cornerHz }] }, sampleRateHz);
    const samples = driven(scenario, impulse(16_384));
    const truth = trueResponse(scenario, { tapId: 'tap', setting: 10, programme: 'left' });
    reference.frequencyHz.forEach((frequencyHz: number, i: number) => {
      const { real, imag } = responseAt(samples, frequencyHz, sampleRateHz);
      expect(Math.abs(real - fixture.real[i])).toBeLessThan(1e-8);
      expect(Math.abs(imag - fixture.imag[i])).toBeLessThan(1e-8);
      // Volts RMS for a full-scale sine against peak volts for an impulse of 1: a factor of sqrt 2.
      expect(truth(frequencyHz).real * Math.SQRT2).toBeCloseTo(fixture.real[i], 8);
    });
  }
});

test('shelves and peaks, fixed or by setting, have the spectrum that scipy computes', () => {
  for (const { kind, gainDb, cornerHz, q, sampleRateHz, real } of reference.cookbook) {
    if (kind === 'all-pass') continue;
    const eq = { kind, frequencyHz: cornerHz, q };
    const taps: Partial<TapInput>[] = [{ fixedEq: [{ ...eq, gainDb }] }];
    if (kind !== 'peak') taps.push({ volumeDependent: [{ ...eq, gainDb: { '10': gainDb } }] });
    for (const tap of taps) {
      const samples = driven(oneTap(tap, sampleRateHz), impulse(16_384));
      reference.frequencyHz.forEach((frequencyHz: number, i: number) => {
        expect(Math.abs(responseAt(samples, frequencyHz, sampleRateHz).real - real[i])).toBeLessThan(1e-8);
      });
    }
  }
});

test('the volume control moves the level by its decibels a step, and inversion turns the sign', () => {
  const scenario = oneTap({ inverted: true });
  expect(driven(scenario, impulse(8))[0]).toBeCloseTo(-1, 12);
  expect(driven(scenario, impulse(8), 16)[0]).toBeCloseTo(-(10 ** (6 / 20)), 12);
});

test('the routing weighs left and right; a tap of both sides carries half of each', () => {
  expect(driven(oneTap({ side: 'both' }), impulse(8))[0]).toBeCloseTo(0.5, 12);
  expect(driven(oneTap({ side: 'right' }), impulse(8))[0]).toBe(0);
  expect(driven(oneTap({ routing: { left: -0.7, right: 1 } }), impulse(8))[0]).toBeCloseTo(-0.7, 12);
});

// The decision of the tool is at 1 %; the sound must show exactly that at the drive that the truth names.
test.each([
  ['rail', { railVoltsPeak: 0.5 }, 60],
  [
    'rail behind a shelf',
    { railVoltsPeak: 0.5, fixedEq: [{ kind: 'low shelf', frequencyHz: 100, gainDb: 6 }] },
    60,
  ],
  ['rail, 1 kHz', { railVoltsPeak: 0.5 }, 1000],
  [
    'clip before a low-pass',
    { clipBeforeDbFs: -6, crossover: [{ side: 'low-pass', family: 'butterworth', order: 2, cornerHz: 100 }] },
    60,
  ],
  [
    'clip before a high-pass',
    {
      clipBeforeDbFs: -6,
      crossover: [{ side: 'high-pass', family: 'linkwitz-riley', order: 4, cornerHz: 120 }],
    },
    60,
  ],
  ['limiter before the rail', { railVoltsPeak: 0.3, limiterBefore: { thresholdDbFs: -14 } }, 100],
] satisfies [string, Partial<TapInput>, number][])(
  'the truth for 1 percent of distortion is what the sound shows: %s',
  (_, tap, frequencyHz) => {
    const scenario = oneTap({ side: 'both', routing: { left: 1, right: 0 }, ...tap });
    const { driveDbFs, voltsRms } = trueClipOnset(scenario, {
      tapId: 'tap',
      setting: 10,
      toneHz: frequencyHz,
    });
    expect(driveDbFs).not.toBeNull();
    const amplitude = 10 ** (driveDbFs! / 20);
    const samples = driven(scenario, sine({ frequencyHz, sampleRateHz: 48_000, amplitude, count: 96_000 }));
    const tone = { frequencyHz, sampleRateHz: 48_000, start: 48_000, cycles: 30 };
    expect(100 * thdOf(samples, { ...tone, highest: 10 })).toBeCloseTo(1, 1);
    expect(toneAmplitude(samples, tone).magnitude / Math.SQRT2).toBeCloseTo(voltsRms!, 3);
  },
);

// Ratio for 1 % of harmonics 2 to 10 is 0.969945 (closed form): 0.265 dB past the rail.
test('1 percent lies 0.265 dB past the rail', () => {
  const onset = trueClipOnset(oneTap({ railVoltsPeak: 0.5 }), { tapId: 'tap', setting: 10, toneHz: 55 });
  expect(onset).toEqual({
    driveDbFs: expect.closeTo(20 * Math.log10(0.5 / 0.969945), 4),
    place: 'after the volume control',
    voltsRms: expect.any(Number),
  });
});

test('with clip points on both sides the first to clip is named', () => {
  const scenario = resolveScenario({
    settings: [4, 16],
    taps: [{ ...PLAIN, railVoltsPeak: 1, clipBeforeDbFs: -3 }],
  });
  const place = (setting: number) => trueClipOnset(scenario, { tapId: 'tap', setting, toneHz: 55 }).place;
  expect(place(4)).toBe('before the volume control');
  expect(place(16)).toBe('after the volume control');
  expect(trueClipOnset(oneTap({}), { tapId: 'tap', setting: 10, toneHz: 55 }).place).toBe('none');
});

test('the limiter behind the volume control takes the bass of a loud setting and leaves a quiet one', () => {
  const scenario = exampleScenario('limiter after the volume control', { recorder: { clockPpm: 0 } });
  const tone = sine({ frequencyHz: 40, sampleRateHz: 48_000, amplitude: 10 ** (-18 / 20), count: 96_000 });
  const gainDb = (setting: number) => {
    const { magnitude } = toneAmplitude(driven(scenario, tone, setting), {
      frequencyHz: 40,
      sampleRateHz: 48_000,
      start: 48_000,
      cycles: 30,
    });
    return 20 * Math.log10(magnitude / Math.SQRT2 / (6.85 * 10 ** ((setting - 30 - 18) / 20)));
  };
  expect(gainDb(12)).toBeCloseTo(0, 3);
  expect(gainDb(32)).toBeLessThan(-4);
});

// Two high-passes of order 2 over each other are exactly a low shelf at sqrt(30 x 90) Hz of 40 log10(30/90) dB.
test('a high-pass of order 2 that climbs from 30 to 90 Hz changes the bass as a shelf of -19.1 dB at 52 Hz', () => {
  const scenario = exampleScenario('high-pass order 2 from 30 to 90 Hz', { recorder: { clockPpm: 0 } });
  const shelf = oneTap({
    fixedEq: [{ kind: 'low shelf', frequencyHz: Math.sqrt(30 * 90), gainDb: 40 * Math.log10(30 / 90) }],
  });
  const shelfResponse = trueResponse(shelf, { tapId: 'tap', setting: 10, programme: 'left' });
  expect(40 * Math.log10(30 / 90)).toBeCloseTo(-19.08, 2);
  for (const frequencyHz of [10, 40, 63, 80, 100, 300]) {
    const change = trueBassChangeDb(scenario, { tapId: 'front-left', setting: 32, frequencyHz });
    const { real, imag } = shelfResponse(frequencyHz);
    expect(change).toBeCloseTo(20 * Math.log10(Math.hypot(real, imag) * Math.SQRT2), 3);
  }
});
