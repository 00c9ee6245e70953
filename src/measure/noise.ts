import { aWeightingDb } from '../dsp/a-weighting.ts';
import { type PowerSpectrum, powerSpectrum, TONE_HALF_WIDTH_BINS } from '../dsp/power-spectrum.ts';
import { gridPosition } from '../model/frequency-grid.ts';
import type { NoiseMeasurement } from '../model/measurement.ts';
import type { FrequencyResponse } from '../model/response.ts';

const BAND_HZ = [20, 20_000] as const;
/** A line stands this far above the median of its block: noise gets there about once in 10^9 bins (exponential distribution). */
const LINE_ABOVE_FLOOR_DB = 15;
const BLOCK_BINS = 64;
const MOST_LINES = 40;
/** Mean square of a sine that just reaches full scale. */
const FULL_SCALE_SINE_POWER = 0.5;
/** TPDF dither and rounding to 16 bits: LSB^2 / 4 (Lipshitz, Wannamaker and Vanderkooy, JAES 40(5), 1992). */
const TRACK_DITHER_POWER = 2 ** -30 / 4;
/** The dither of a 44.1 or 48 kHz track is spread to about this frequency. */
const TRACK_BAND_HZ = 22_050;

/**
 * Noise of one tap at one setting, with the track's own dither taken off: it passes the radio like music.
 *
 * @param underQuietTone samples while the quiet tones play; their lines are removed
 * @param inSilence samples of digital silence
 */
export function measureNoise(of: {
  underQuietTone: ArrayLike<number>;
  inSilence: ArrayLike<number>;
  tonesHz: readonly number[];
  sampleRateHz: number;
  left: FrequencyResponse;
  right: FrequencyResponse;
  recorderDbFs: number | null;
}): NoiseMeasurement {
  const quiet = withoutTones(spectrumOf(of.underQuietTone, of.sampleRateHz), of.tonesHz);
  const dither = ditherAtTap(quiet, of);
  const silence = spectrumOf(of.inSilence, of.sampleRateHz);
  return {
    underQuietToneDbFs: levelDbFs(quiet, { minus: dither }),
    underQuietToneADbFs: levelDbFs(quiet, { minus: dither, weightingDb: aWeightingDb }),
    inSilenceDbFs: levelDbFs(silence),
    lines: linesOf(quiet),
    recorderDbFs: of.recorderDbFs,
  };
}

/** The stretches that are averaged: long enough to part 50 Hz from an idling engine, short enough for one that wanders. */
const STRETCH_SECONDS = 1.4;

/**
 * Level and lines while nothing loud plays, averaged over half-overlapping stretches (Welch, IEEE Trans. AU-15(2), 1967).
 *
 * @param tonesHz quiet tones of the track that may be in it; they are taken out
 */
export function noiseAndLines(
  samples: Float32Array,
  of: { sampleRateHz: number; tonesHz: readonly number[] },
): Pick<NoiseMeasurement, 'lines'> & { levelDbFs: number } {
  const wanted = 2 ** Math.round(Math.log2(STRETCH_SECONDS * of.sampleRateHz));
  const size = Math.min(wanted, 2 ** Math.floor(Math.log2(samples.length)));
  const count = Math.floor((2 * samples.length) / size) - 1;
  const each = Array.from({ length: count }, (_, i) =>
    powerSpectrum(samples.subarray((i * size) / 2, (i * size) / 2 + size), { ...of, size }),
  );
  const mean: PowerSpectrum = {
    binHz: each[0].binHz,
    power: each[0].power.map((_, k) => each.reduce((sum, { power }) => sum + power[k], 0) / count),
  };
  const noise = withoutTones(mean, of.tonesHz);
  return { levelDbFs: levelDbFs(noise), lines: linesOf(noise) };
}

/** RMS level of a stretch between 20 Hz and 20 kHz; for the recorder's own floor. */
export function noiseLevelDbFs(samples: ArrayLike<number>, sampleRateHz: number): number {
  return levelDbFs(spectrumOf(samples, sampleRateHz));
}

function spectrumOf(samples: ArrayLike<number>, sampleRateHz: number): PowerSpectrum {
  return powerSpectrum(samples, { size: 2 ** Math.floor(Math.log2(samples.length)), sampleRateHz });
}

/** Fills the bins of the track's tones with the mean of what lies on either side. */
function withoutTones({ binHz, power }: PowerSpectrum, tonesHz: readonly number[]): PowerSpectrum {
  const cleaned = Float64Array.from(power);
  for (const toneHz of tonesHz) {
    const centre = Math.round(toneHz / binHz);
    const low = mean(power, centre - 2 * TONE_HALF_WIDTH_BINS, centre - TONE_HALF_WIDTH_BINS);
    const high = mean(power, centre + TONE_HALF_WIDTH_BINS + 1, centre + 2 * TONE_HALF_WIDTH_BINS + 1);
    cleaned.fill((low + high) / 2, centre - TONE_HALF_WIDTH_BINS, centre + TONE_HALF_WIDTH_BINS + 1);
  }
  return { binHz, power: cleaned };
}

function mean(values: Float64Array, from: number, to: number): number {
  return values.subarray(from, to).reduce((sum, value) => sum + value, 0) / (to - from);
}

/** Each channel of the track has dither of its own: powers add. */
function ditherAtTap(
  { binHz, power }: PowerSpectrum,
  { left, right }: { left: FrequencyResponse; right: FrequencyResponse },
): Float64Array {
  const inBin = (TRACK_DITHER_POWER * binHz) / TRACK_BAND_HZ;
  const last = left.real.length - 1;
  return power.map((_, k) => {
    if (k * binHz > TRACK_BAND_HZ) return 0;
    const i = Math.min(last, Math.max(0, Math.round(gridPosition(Math.max(1, k) * binHz))));
    return inBin * (left.real[i] ** 2 + left.imag[i] ** 2 + right.real[i] ** 2 + right.imag[i] ** 2);
  });
}

function levelDbFs(
  { binHz, power }: PowerSpectrum,
  { minus, weightingDb }: { minus?: Float64Array; weightingDb?: (hz: number) => number } = {},
): number {
  let sum = 0;
  const last = Math.min(power.length - 1, Math.floor(BAND_HZ[1] / binHz));
  for (let k = Math.ceil(BAND_HZ[0] / binHz); k <= last; k++) {
    const weight = weightingDb === undefined ? 1 : 10 ** (weightingDb(k * binHz) / 10);
    sum += weight * (power[k] - (minus?.[k] ?? 0));
  }
  return 10 * Math.log10(Math.max(sum, 1e-18) / FULL_SCALE_SINE_POWER);
}

function linesOf({ binHz, power }: PowerSpectrum): { frequencyHz: number; levelDbFs: number }[] {
  const lines: { frequencyHz: number; levelDbFs: number }[] = [];
  const last = Math.min(power.length - TONE_HALF_WIDTH_BINS, Math.floor(BAND_HZ[1] / binHz));
  for (let from = Math.ceil(BAND_HZ[0] / binHz); from < last; from += BLOCK_BINS) {
    const block = power.subarray(from, Math.min(last, from + BLOCK_BINS));
    const floor = Float64Array.from(block).sort()[Math.floor(block.length / 2)];
    const least = floor * 10 ** (LINE_ABOVE_FLOOR_DB / 10);
    for (let k = from; k < from + block.length; k++) {
      if (power[k] < least || power[k] <= power[k - 1] || power[k] < power[k + 1]) continue;
      const lobe = power.subarray(k - TONE_HALF_WIDTH_BINS, k + TONE_HALF_WIDTH_BINS + 1);
      const total = lobe.reduce((sum, value) => sum + value, 0);
      const centre = lobe.reduce((sum, value, j) => sum + (k - TONE_HALF_WIDTH_BINS + j) * value, 0) / total;
      lines.push({ frequencyHz: centre * binHz, levelDbFs: 10 * Math.log10(total / FULL_SCALE_SINE_POWER) });
    }
  }
  return lines
    .sort((a, b) => b.levelDbFs - a.levelDbFs)
    .slice(0, MOST_LINES)
    .sort((a, b) => a.frequencyHz - b.frequencyHz);
}
