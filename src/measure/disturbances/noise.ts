import { aWeightingOfPower } from '../../dsp/a-weighting.ts';
import { decibelsOfPower, powerRatioOf } from '../../dsp/decibels.ts';
import { doubles, kept, reused } from '../../dsp/kernels/kernel-arrays.ts';
import { kernels } from '../../dsp/kernels/kernels.ts';
import { type PowerSpectrum, powerSpectrum, TONE_HALF_WIDTH_BINS } from '../../dsp/power-spectrum.ts';
import { mean } from '../../dsp/statistics.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { NoiseMeasurement } from '../../model/measurement.ts';
import type { FrequencyResponse } from '../../model/response.ts';

/** What is heard (common practice). */
const BAND_HZ = [20, 20_000] as const;
/** A line stands this far above the median of its block: noise gets there about once in 10^9 bins (exponential distribution). */
const LINE_ABOVE_FLOOR = powerRatioOf(15);
const BLOCK_BINS = 64;
const MOST_LINES = 40;
/** What lies this near to a line and this far below it is the window's skirt and its side lobes (92 dB down), or the line's own wander. */
const SKIRT_BINS = 4 * TONE_HALF_WIDTH_BINS;
const SKIRT_BELOW_LINE = powerRatioOf(-50);
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
  const { power, aWeightedPower } = bandPower(quiet, ditherAtTap(quiet.binHz, of));
  const lines = linesOf(quiet); // before the spectrum of the silence takes its place
  return {
    underQuietToneDbFs: levelDbFs(power),
    underQuietToneADbFs: levelDbFs(aWeightedPower),
    inSilenceDbFs: noiseLevelDbFs(of.inSilence, of.sampleRateHz),
    lines,
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
  return { levelDbFs: levelDbFs(bandPower(noise).power), lines: linesOf(noise) };
}

/** RMS level of a stretch between 20 Hz and 20 kHz; for the recorder's own floor. */
export function noiseLevelDbFs(samples: ArrayLike<number>, sampleRateHz: number): number {
  return levelDbFs(bandPower(spectrumOf(samples, sampleRateHz)).power);
}

const powerWork = reused(doubles);

/** In memory that the next spectrum overwrites. */
function spectrumOf(samples: ArrayLike<number>, sampleRateHz: number): PowerSpectrum {
  const size = 2 ** Math.floor(Math.log2(samples.length));
  return powerSpectrum(samples, { size, sampleRateHz, power: powerWork(size / 2) });
}

/** Fills, in place, the bins of the track's tones with the quieter of what lies on either side: mains hum may be the other. */
function withoutTones({ binHz, power }: PowerSpectrum, tonesHz: readonly number[]): PowerSpectrum {
  for (const toneHz of tonesHz) {
    const centre = Math.round(toneHz / binHz);
    const low = mean(power.subarray(centre - 2 * TONE_HALF_WIDTH_BINS, centre - TONE_HALF_WIDTH_BINS));
    const high = mean(
      power.subarray(centre + TONE_HALF_WIDTH_BINS + 1, centre + 2 * TONE_HALF_WIDTH_BINS + 1),
    );
    power.fill(Math.min(low, high), centre - TONE_HALF_WIDTH_BINS, centre + TONE_HALF_WIDTH_BINS + 1);
  }
  return { binHz, power };
}

/** Power of the track's dither in a bin, for each point of the grid. Each channel has dither of its own: powers add. */
function ditherAtTap(
  binHz: number,
  { left, right }: { left: FrequencyResponse; right: FrequencyResponse },
): Float64Array {
  const inBin = (TRACK_DITHER_POWER * binHz) / TRACK_BAND_HZ;
  return left.real.map(
    (real, i) => inBin * (real ** 2 + left.imag[i] ** 2 + right.real[i] ** 2 + right.imag[i] ** 2),
  );
}

/** @param ditherOnGrid taken off each bin, by the point of the grid nearest to it */
function bandPower(
  { binHz, power }: PowerSpectrum,
  ditherOnGrid?: Float64Array,
): { power: number; aWeightedPower: number } {
  const { firstBin, aWeights, onGrid } = bandOf(binHz, power.length);
  const sums = sumsWork(2);
  kernels.bandSums(power, aWeights, sums, firstBin, aWeights.length);
  const dither = (each: Float64Array) =>
    ditherOnGrid?.reduce((sum, value, point) => sum + value * each[point], 0) ?? 0;
  return {
    power: sums[0] - dither(onGrid.bins),
    aWeightedPower: sums[1] - dither(onGrid.aWeights),
  };
}

const sumsWork = reused(doubles);

interface BandWeights {
  readonly firstBin: number;
  /** A-weighting of the power in each bin. */
  readonly aWeights: Float64Array;
  /** How many bins lie nearest to each point of the grid, and the sum of their weights. */
  readonly onGrid: { readonly bins: Float64Array; readonly aWeights: Float64Array };
}

const bands = kept<BandWeights>();

/** Weights for every bin cost as much as a transform; sections of noise have one or two bin widths. */
function bandOf(binHz: number, binCount: number): BandWeights {
  return bands(`${binHz} ${binCount}`, () => {
    const firstBin = Math.ceil(BAND_HZ[0] / binHz);
    const last = Math.min(binCount - 1, Math.floor(BAND_HZ[1] / binHz));
    const aWeights = doubles(Math.max(0, last - firstBin + 1));
    const points = gridFrequencyHz.length;
    const onGrid = { bins: new Float64Array(points), aWeights: new Float64Array(points) };
    for (let j = 0, point = 0; j < aWeights.length; j++) {
      const hz = (firstBin + j) * binHz;
      while (point < points - 1 && hz * hz >= gridFrequencyHz[point] * gridFrequencyHz[point + 1]) point++;
      aWeights[j] = aWeightingOfPower(hz);
      onGrid.bins[point]++;
      onGrid.aWeights[point] += aWeights[j];
    }
    return { firstBin, aWeights, onGrid };
  });
}

function levelDbFs(power: number): number {
  return decibelsOfPower(Math.max(power, 1e-18) / FULL_SCALE_SINE_POWER);
}

function linesOf({ binHz, power }: PowerSpectrum): { frequencyHz: number; levelDbFs: number }[] {
  const lines: { frequencyHz: number; levelDbFs: number }[] = [];
  const last = Math.min(power.length - TONE_HALF_WIDTH_BINS, Math.floor(BAND_HZ[1] / binHz));
  for (let from = Math.ceil(BAND_HZ[0] / binHz); from < last; from += BLOCK_BINS) {
    const to = Math.min(last, from + BLOCK_BINS);
    // The last block reaches back: the median of a few bins is no floor.
    const block = power.subarray(to - BLOCK_BINS, to);
    if (!hasLine(block)) continue;
    const least = LINE_ABOVE_FLOOR * Float64Array.from(block).sort()[BLOCK_BINS >> 1];
    for (let k = from; k < to; k++) {
      if (power[k] < least || power[k] <= power[k - 1] || power[k] < power[k + 1]) continue;
      if (isInSkirt(power, k)) continue;
      const lobe = power.subarray(k - TONE_HALF_WIDTH_BINS, k + TONE_HALF_WIDTH_BINS + 1);
      const total = lobe.reduce((sum, value) => sum + value, 0);
      const centre = lobe.reduce((sum, value, j) => sum + (k - TONE_HALF_WIDTH_BINS + j) * value, 0) / total;
      lines.push({ frequencyHz: centre * binHz, levelDbFs: decibelsOfPower(total / FULL_SCALE_SINE_POWER) });
    }
  }
  return lines
    .sort((a, b) => b.levelDbFs - a.levelDbFs)
    .slice(0, MOST_LINES)
    .sort((a, b) => a.frequencyHz - b.frequencyHz);
}

function isInSkirt(power: Float64Array, bin: number): boolean {
  const near = power.subarray(Math.max(0, bin - SKIRT_BINS), bin + SKIRT_BINS + 1);
  return near.some((other) => SKIRT_BELOW_LINE * other > power[bin]);
}

/** Whether the strongest bin stands clear of the median: without sorting, as a line is in few blocks. */
function hasLine(block: Float64Array): boolean {
  let strongest = 0;
  for (let j = 0; j < block.length; j++) if (block[j] > strongest) strongest = block[j];
  let farBelow = 0;
  for (let j = 0; j < block.length; j++) if (LINE_ABOVE_FLOOR * block[j] <= strongest) farBelow++;
  return farBelow > block.length >> 1;
}
