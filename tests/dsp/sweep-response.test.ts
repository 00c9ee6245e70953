import { describe, expect, test } from 'vitest';
import { filterInPlace, toBiquads } from '../../src/dsp/biquad.ts';
import { correctClock } from '../../src/dsp/correct-clock.ts';
import { evaluateOnGrid, type FilterFamily, prototypeSections } from '../../src/dsp/filter-prototype.ts';
import { seededRandom } from '../../src/dsp/random.ts';
import { planSweep, SECTION_LEAD_SECONDS, sweepResponse } from '../../src/dsp/sweep-response.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { fullTrack, sectionOf, sectionValues } from '../../src/tones/track.ts';

const sampleRateHz = 48_000;
const section = sectionOf(fullTrack, 'sweep', 'sweep left')!;
const valueAt = sectionValues(section);
const plan = planSweep({
  sweep: section.sweep,
  driveAmplitude: 10 ** (section.driveDbFs / 20),
  sampleRateHz,
  frequencyHz: gridFrequencyHz,
});
/** White noise to 24 kHz that lies 60 dB below a full-scale sine. */
const NOISE_60_DB = 7.07e-4;

function recorded(of: {
  gain?: number;
  delaySeconds?: number;
  ppm?: number;
  noiseRms?: number;
  seed?: number;
}): Float64Array {
  const { gain = 1, delaySeconds = 0, ppm = 0, noiseRms = 0 } = of;
  const random = seededRandom(of.seed ?? 1);
  return Float64Array.from({ length: plan.sectionLength }, (_, n) => {
    const recorderSeconds = section.startSeconds - SECTION_LEAD_SECONDS + n / sampleRateHz;
    const value = gain * valueAt(recorderSeconds / (1 + ppm * 1e-6) - delaySeconds);
    return value + (noiseRms > 0 ? noiseRms * random.gaussian() : 0);
  });
}

function worst(of: { from: number; to: number; error: (i: number) => number }): number {
  return gridFrequencyHz.reduce(
    (most, hz, i) => (hz >= of.from && hz <= of.to ? Math.max(most, Math.abs(of.error(i))) : most),
    0,
  );
}

describe('sweepResponse', () => {
  test('a plain gain and delay come out exactly from 15 Hz to 19.5 kHz', () => {
    const delaySeconds = 0.0012345;
    const { real, imag } = sweepResponse(plan, recorded({ gain: 0.5, delaySeconds }));
    const error = (i: number) => {
      const angle = -2 * Math.PI * gridFrequencyHz[i] * delaySeconds;
      return Math.hypot(real[i] - 0.5 * Math.cos(angle), imag[i] - 0.5 * Math.sin(angle));
    };
    expect(worst({ from: 15, to: 19_500, error })).toBeLessThan(1e-5);
  });

  test.each([
    ['linkwitz-riley', 8, 'low-pass', 80],
    ['linkwitz-riley', 8, 'high-pass', 80],
    ['linkwitz-riley', 4, 'high-pass', 3000],
    ['butterworth', 2, 'high-pass', 40],
    ['bessel', 4, 'low-pass', 2500],
  ] as const)(
    'smoothing moves a %s filter of order %i (%s, %i Hz) by less than 0.02 dB down to -40 dB',
    (family, order, side, cornerHz) => {
      const sections = prototypeSections({ family: family as FilterFamily, order, side });
      const samples = recorded({});
      filterInPlace(samples, toBiquads(sections, { cornerHz, sampleRateHz }));
      const { real, imag } = sweepResponse(plan, samples);
      const exact = evaluateOnGrid(sections, { frequencyHz: gridFrequencyHz, cornerHz, sampleRateHz });
      const error = (i: number) => {
        const magnitude = Math.hypot(exact.real[i], exact.imag[i]);
        return magnitude < 0.01
          ? 0
          : 8.686 * (Math.hypot(real[i] - exact.real[i], imag[i] - exact.imag[i]) / magnitude);
      };
      expect(worst({ from: 25, to: 19_000, error })).toBeLessThan(0.02);
    },
  );

  test.each([-500, -20, 100, 500])('a clock %i ppm off leaves no trace once corrected', (ppm) => {
    const clock = {
      frequencyHz: gridFrequencyHz,
      sweep: section.sweep,
      sectionStartSeconds: section.startSeconds,
      ppm,
    };
    const { real, imag } = correctClock(sweepResponse(plan, recorded({ ppm })), clock);
    expect(
      worst({ from: 20, to: 19_000, error: (i) => 8.686 * (Math.hypot(real[i], imag[i]) - 1) }),
    ).toBeLessThan(0.005);
    const delay = (i: number) => Math.atan2(imag[i], real[i]) / (2 * Math.PI * gridFrequencyHz[i]);
    expect(worst({ from: 500, to: 19_000, error: delay })).toBeLessThan(0.05e-6);
  });

  test('an arrival of several milliseconds stays one delay at every frequency, whatever the clock', () => {
    const [ppm, delaySeconds] = [120, 0.0043];
    const clock = {
      frequencyHz: gridFrequencyHz,
      sweep: section.sweep,
      sectionStartSeconds: section.startSeconds,
      ppm,
    };
    const { real, imag } = correctClock(sweepResponse(plan, recorded({ ppm, delaySeconds })), clock);
    const error = (i: number) => {
      const angle = 2 * Math.PI * gridFrequencyHz[i] * delaySeconds;
      const across = imag[i] * Math.cos(angle) + real[i] * Math.sin(angle);
      return (
        Math.atan2(across, real[i] * Math.cos(angle) - imag[i] * Math.sin(angle)) /
        (2 * Math.PI * gridFrequencyHz[i])
      );
    };
    expect(worst({ from: 500, to: 19_000, error })).toBeLessThan(0.1e-6);
  });

  test.each([-500, 500])('a filter recorded with a clock %i ppm off keeps its corner', (ppm) => {
    const sections = prototypeSections({ family: 'linkwitz-riley', order: 8, side: 'low-pass' });
    const clockFactor = 1 + ppm * 1e-6;
    const filtered = (samples: Float64Array, cornerHz: number) => {
      filterInPlace(samples, toBiquads(sections, { cornerHz, sampleRateHz }));
      return sweepResponse(plan, samples);
    };
    const clock = {
      frequencyHz: gridFrequencyHz,
      sweep: section.sweep,
      sectionStartSeconds: section.startSeconds,
      ppm,
    };
    // By the time of a recorder that runs fast, the radio's corner is lower.
    const found = correctClock(filtered(recorded({ ppm }), 1000 / clockFactor), clock);
    const expected = filtered(recorded({}), 1000);
    const errorDb = (i: number) =>
      20 *
      Math.log10(Math.hypot(found.real[i], found.imag[i]) / Math.hypot(expected.real[i], expected.imag[i]));
    // Uncorrected, 500 ppm is 0.03 dB on a slope of 48 dB an octave.
    expect(worst({ from: 30, to: 1600, error: errorDb })).toBeLessThan(0.005);
  });

  test('the stated noise is the noise there is: errors over 24 recordings are one sigma within 10 %', () => {
    let sum = 0;
    let count = 0;
    for (let seed = 1; seed <= 24; seed++) {
      const { real, imag, sigma } = sweepResponse(plan, recorded({ noiseRms: NOISE_60_DB, seed }));
      gridFrequencyHz.forEach((hz, i) => {
        if (hz < 20 || hz > 19_000) return;
        sum += ((real[i] - 1) ** 2 + imag[i] ** 2) / (2 * sigma[i] ** 2);
        count++;
      });
    }
    expect(Math.sqrt(sum / count)).toBeGreaterThan(0.9);
    expect(Math.sqrt(sum / count)).toBeLessThan(1.1);
  });

  test('a recording without the sweep has a response no larger than its noise', () => {
    const { real, imag, sigma } = sweepResponse(plan, recorded({ gain: 0, noiseRms: NOISE_60_DB }));
    expect(
      worst({ from: 15, to: 19_000, error: (i) => Math.hypot(real[i], imag[i]) / sigma[i] }),
    ).toBeLessThan(6);
  });
});
