import type { AnalogSection } from '../../src/dsp/analog-section.ts';
import {
  evaluateOnGrid,
  type FilterFamily,
  type FilterSide,
  highShelfSections,
  lowShelfSections,
  peakingSections,
  prototypeSections,
} from '../../src/dsp/filter-prototype.ts';
import { windowSigmaSeconds } from '../../src/dsp/smoothing-kernel.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { TapMeasurement } from '../../src/model/measurement.ts';
import { type FrequencyResponse, TRUSTED_SNR_DB } from '../../src/model/response.ts';

/** A tap's processing, written down exactly: what the findings have to read out of the response. */
export interface ExactTap {
  readonly edges?: readonly { side: FilterSide; family: FilterFamily; order: number; cornerHz: number }[];
  readonly eq?: readonly {
    kind: 'peak' | 'low shelf' | 'high shelf';
    frequencyHz: number;
    gainDb: number;
    q: number;
  }[];
  readonly gainDb?: number;
  readonly delaySeconds?: number;
  readonly inverted?: boolean;
  readonly sampleRateHz?: number | null;
}

export function exactResponse(tap: ExactTap): { real: Float64Array; imag: Float64Array } {
  const sampleRateHz = tap.sampleRateHz ?? null;
  const gain = 10 ** ((tap.gainDb ?? 0) / 20) * (tap.inverted ? -1 : 1);
  const real = new Float64Array(gridFrequencyHz.length).fill(gain);
  const imag = new Float64Array(gridFrequencyHz.length);
  const times = (re: ArrayLike<number>, im: ArrayLike<number>) => {
    for (let i = 0; i < real.length; i++) {
      const before = real[i];
      real[i] = before * re[i] - imag[i] * im[i];
      imag[i] = before * im[i] + imag[i] * re[i];
    }
  };
  for (const { cornerHz, ...prototype } of tap.edges ?? []) {
    const at = evaluateOnGrid(prototypeSections(prototype), {
      frequencyHz: gridFrequencyHz,
      cornerHz,
      sampleRateHz,
    });
    times(at.real, at.imag);
  }
  for (const eq of tap.eq ?? []) {
    const at = evaluateOnGrid(eqSections(eq), {
      frequencyHz: gridFrequencyHz,
      cornerHz: eq.frequencyHz,
      sampleRateHz,
    });
    times(at.real, at.imag);
  }
  const turn = gridFrequencyHz.map((hz) => -2 * Math.PI * hz * (tap.delaySeconds ?? 0));
  times(turn.map(Math.cos), turn.map(Math.sin));
  return { real, imag };
}

function eqSections({ kind, gainDb, q }: { kind: string; gainDb: number; q: number }): AnalogSection[] {
  if (kind === 'peak') return peakingSections({ gainDb, q });
  return kind === 'low shelf' ? lowShelfSections({ gainDb, q }) : highShelfSections({ gainDb, q });
}

/**
 * Standard deviation of each part of a response measured with the main sweep.
 *
 * The sweep's spectrum is |X|^2 = A^2 L / (4 f) (A: peak, L: rate in seconds; its power A^2/2 lasts L df/f in df, half of it
 * at negative frequencies). White noise of variance s^2 up to 24 kHz has the two-sided density s^2 / 48000, and a
 * window w(t) lets the integral of w^2 of it through: 27/16 sqrt(pi) of the window's sigma. A full-scale sine at the tap
 * has the power 1/2, so s^2 = 10^(-SNR/10) / 2; each part gets half of the variance.
 */
export function sigmaOf({ snrDb, gainDb = 0 }: { snrDb: number; gainDb?: number }): Float64Array {
  const noiseVariance = 0.5 * 10 ** ((gainDb - snrDb) / 10);
  const amplitude = 10 ** (-18 / 20);
  const rateSeconds = 6 / Math.log(2000);
  return gridFrequencyHz.map((hz) => {
    const windowArea = (27 / 16) * Math.sqrt(Math.PI) * windowSigmaSeconds(hz);
    return Math.sqrt((0.5 * (noiseVariance / 48_000) * windowArea * 4 * hz) / (amplitude ** 2 * rateSeconds));
  });
}

/** The response as measured: noise of the given sigma, correlated along frequency as the measurement's window does. */
export function measuredResponse(
  exact: { real: Float64Array; imag: Float64Array },
  sigma: Float64Array,
  random: () => number,
): FrequencyResponse {
  const noise = [windowedNoise(random), windowedNoise(random)];
  const real = exact.real.map((value, i) => value + sigma[i] * noise[0][i]);
  const imag = exact.imag.map((value, i) => value + sigma[i] * noise[1][i]);
  return { real, imag, sigma, trustedHz: trustedBand({ real, imag, sigma }) };
}

const FINE_PER_POINT = 8;
/** Grid points beside the grid that its ends are smoothed over. */
const MARGIN_POINTS = 24;

/** The window's transform around each point of the grid, on steps of a fine grid, for unit variance. */
const windows = Array.from(gridFrequencyHz, (hz, i) => {
  const ratio = gridFrequencyHz[1] / gridFrequencyHz[0];
  const kernelHz = 1 / (2 * Math.PI * windowSigmaSeconds(hz));
  const centre = (i + MARGIN_POINTS) * FINE_PER_POINT;
  const reach = Math.min(
    MARGIN_POINTS * FINE_PER_POINT,
    Math.ceil((4.5 * kernelHz * FINE_PER_POINT) / (hz * (ratio - 1))),
  );
  const weights = Float64Array.from({ length: 2 * reach + 1 }, (_, k) => {
    const fineHz = gridFrequencyHz[0] * ratio ** ((centre - reach + k) / FINE_PER_POINT - MARGIN_POINTS);
    const u = (fineHz - hz) / kernelHz;
    // White along a linear axis: a fine step stands for a bandwidth proportional to its frequency.
    return (1.5 - 0.5 * u * u) * Math.exp(-0.5 * u * u) * Math.sqrt(fineHz);
  });
  const norm = Math.hypot(...weights);
  return { from: centre - reach, weights: weights.map((weight) => weight / norm) };
});

/** Unit-variance noise on the grid: white noise along frequency, smoothed by the window's transform at each point. */
function windowedNoise(random: () => number): Float64Array {
  const white = new Float64Array((gridFrequencyHz.length + 2 * MARGIN_POINTS) * FINE_PER_POINT);
  for (let k = 0; k < white.length; k++) white[k] = gaussian(random);
  const noise = new Float64Array(gridFrequencyHz.length);
  for (let i = 0; i < noise.length; i++) {
    const { from, weights } = windows[i];
    let sum = 0;
    for (let k = 0; k < weights.length; k++) sum += weights[k] * white[from + k];
    noise[i] = sum;
  }
  return noise;
}

/** The longest run of points that stand TRUSTED_SNR_DB above the noise, up to 19.5 kHz. */
function trustedBand({
  real,
  imag,
  sigma,
}: Omit<FrequencyResponse, 'trustedHz'>): readonly [number, number] | null {
  let best: [number, number] | null = null;
  let from = -1;
  for (let i = 0; i <= real.length; i++) {
    const trusted =
      i < real.length &&
      gridFrequencyHz[i] <= 19_500 &&
      Math.hypot(real[i], imag[i]) > 10 ** (TRUSTED_SNR_DB / 20) * Math.SQRT2 * sigma[i];
    if (trusted && from < 0) from = i;
    if (!trusted && from >= 0) {
      if (best === null || i - 1 - from > Math.log(best[1] / best[0]) * 69)
        best = [gridFrequencyHz[from], gridFrequencyHz[i - 1]];
      from = -1;
    }
  }
  return best;
}

export interface ExactMeasurement {
  readonly tapId: string;
  readonly left?: ExactTap | null;
  readonly right?: ExactTap | null;
  readonly setting?: number;
  readonly timeOrigin?: string | undefined;
  readonly snrDb: number;
  readonly random: () => number;
}

/** A TapMeasurement with the responses of exact taps; a null side carries nothing but noise. */
export function exactMeasurement(of: ExactMeasurement): TapMeasurement {
  const setting = of.setting ?? 20;
  const gainDb = of.left?.gainDb ?? of.right?.gainDb ?? 0;
  const sigma = sigmaOf({ snrDb: of.snrDb, gainDb });
  const nothing = {
    real: new Float64Array(gridFrequencyHz.length),
    imag: new Float64Array(gridFrequencyHz.length),
  };
  const side = (tap: ExactTap | null | undefined) =>
    measuredResponse(tap ? exactResponse(tap) : nothing, sigma, of.random);
  return {
    tapId: of.tapId,
    setting,
    evidence: [{ file: `${of.timeOrigin ?? 'take'}.wav`, channel: 1, setting, takeStartSeconds: 0 }],
    timeOrigin: of.timeOrigin ?? `take ${setting}`,
    left: side(of.left),
    right: side(of.right),
    bothLowDrive: null,
    ladders: [],
    noise: null,
    recorder: { peakDbFs: -12, clippedRuns: 0, dcOffset: 0, clockPpm: 0 },
    voltsPerFullScale: null,
    supplyVolts: null,
    repeats: { count: 1, spreadDb: 0 },
  };
}

/** Seeded uniform numbers (mulberry32, public domain). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

function gaussian(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}
