import { modulus } from '../modulus.ts';
import { windowSigmaSeconds } from '../smoothing-kernel.ts';
import { mean } from '../statistics.ts';

/** A measured response as fits want it: logarithms, thinned to points whose noise is independent, with weights. */
export interface LogResponse {
  readonly frequencyHz: Float64Array;
  readonly lnMagnitude: Float64Array;
  /** Unwrapped, after `coarseDelaySeconds` was taken out. */
  readonly phase: Float64Array;
  /** One over the standard deviation of ln magnitude, and of phase, as it counts in a fit: shared noise is counted once. */
  readonly weight: Float64Array;
  /** Variance of each ln magnitude, and of each phase, by itself. */
  readonly variance: Float64Array;
  readonly coarseDelaySeconds: number;
}

interface ComplexResponse {
  readonly real: Float64Array;
  readonly imag: Float64Array;
  readonly sigma: Float64Array;
}

/** What the measurement may be wrong by, relative, where neither noise nor its window shows: 0.001 dB. */
const SYSTEMATIC_ERROR = 1e-4;
/** The logarithm of a noisy value has no bias while noise stays well below it; 14 dB is a margin over TRUSTED_SNR_DB. */
const LEAST_RATIO_TO_SIGMA = 5;
/** Integral of the squared window (1 + v^2/2) exp(-v^2/2): 27/16 sqrt(pi) of its sigma. */
const SQUARED_WINDOW_AREA = (27 / 16) * Math.sqrt(Math.PI);
/** Bandwidth times window length from which neighbouring points are taken as independent. */
const INDEPENDENT_SPACING = 0.8;
const FEWEST_POINTS = 12;

/**
 * Thins a response for fitting: the smoothing of the measurement correlates the noise of neighbouring points, over about
 * 1 / window length, so that points closer than this carry no more information and would fake certainty.
 *
 * @returns null where fewer than 12 usable points lie in `rangeHz`
 */
export function logResponse(
  response: ComplexResponse,
  { frequencyHz, rangeHz }: { frequencyHz: Float64Array; rangeHz: readonly [number, number] },
): LogResponse | null {
  const inside = indicesWithin(frequencyHz, rangeHz);
  if (inside.length < FEWEST_POINTS) return null;
  const coarseDelaySeconds = coarseDelay(response, frequencyHz, inside);
  const phase = unwrappedPhase(response, frequencyHz, inside, coarseDelaySeconds);
  const kept: number[] = [];
  const variances: number[] = [];
  const repetitions: number[] = [];
  let last = -1;
  inside.forEach((i, position) => {
    const spacing = last < 0 ? Number.POSITIVE_INFINITY : independence(frequencyHz[i], frequencyHz[last]);
    const ratio = modulus(response.real[i], response.imag[i]) / response.sigma[i];
    if (spacing < INDEPENDENT_SPACING || !(ratio > LEAST_RATIO_TO_SIGMA)) return;
    kept.push(position);
    variances.push(ratio ** -2 + SYSTEMATIC_ERROR ** 2);
    repetitions.push(Math.max(1, 1 / spacing));
    last = i;
  });
  if (kept.length < FEWEST_POINTS) return null;
  const at = (value: (position: number) => number) => Float64Array.from(kept, value);
  return {
    frequencyHz: at((position) => frequencyHz[inside[position]]),
    lnMagnitude: at((position) =>
      Math.log(modulus(response.real[inside[position]], response.imag[inside[position]])),
    ),
    phase: at((position) => phase[position]),
    weight: Float64Array.from(variances, (variance, k) => 1 / Math.sqrt(variance * repetitions[k])),
    variance: Float64Array.from(variances),
    coarseDelaySeconds,
  };
}

/** Relative noise that a roughened response has in its pass band (40 dB SNR of the measuring sweep), and its least. */
const ROUGH_NOISE = 2e-3;

/** Every other point, as if recorded with 40 dB of signal to noise at best: cheap to search, and not stiff. */
export function roughened(data: LogResponse): LogResponse {
  const step = data.frequencyHz.length > 4 * FEWEST_POINTS ? 2 : 1;
  const thin = (values: Float64Array) => values.filter((_, i) => i % step === 0);
  const top = Float64Array.from(data.lnMagnitude).sort()[Math.floor(0.9 * data.lnMagnitude.length)];
  const rough = withError(
    data,
    data.lnMagnitude.map((value) => ROUGH_NOISE * Math.SQRT2 * Math.max(1, Math.exp(top - value))),
  );
  return {
    ...rough,
    frequencyHz: thin(rough.frequencyHz),
    lnMagnitude: thin(rough.lnMagnitude),
    phase: thin(rough.phase),
    weight: thin(rough.weight),
    variance: thin(rough.variance),
  };
}

/** The response with a further error, one standard deviation at each point, in its weights. */
export function withError(data: LogResponse, error: Float64Array): LogResponse {
  return {
    ...data,
    weight: data.weight.map((weight, i) => 1 / modulus(1 / weight, error[i])),
    variance: data.variance.map((variance, i) => variance + error[i] ** 2),
  };
}

/** Chi-square per degree of freedom: 1 where noise explains what a fit leaves. */
export function reducedChiSquare(
  data: LogResponse,
  fit: { chiSquare: number; parameters: ArrayLike<number> },
): number {
  const share = mean(data.weight.map((weight, i) => weight ** 2 * data.variance[i]));
  return fit.chiSquare / (share * Math.max(1, 2 * data.frequencyHz.length - fit.parameters.length));
}

/** How many independent values the window leaves between two frequencies. */
function independence(aHz: number, bHz: number): number {
  return Math.abs(aHz - bHz) * SQUARED_WINDOW_AREA * windowSigmaSeconds(Math.max(aHz, bHz));
}

function indicesWithin(frequencyHz: Float64Array, [fromHz, toHz]: readonly [number, number]): number[] {
  const indices: number[] = [];
  frequencyHz.forEach((hz, i) => {
    if (hz >= fromHz && hz <= toHz) indices.push(i);
  });
  return indices;
}

/** Delays searched, either way, and the step that keeps phases between neighbouring points well under half a turn. */
const SEARCHED_SECONDS = 0.25;
const SEARCH_STEP_SECONDS = 0.0002;

/** The delay at which the turns from each point to its neighbour line up best. */
function coarseDelay(
  { real, imag }: ComplexResponse,
  frequencyHz: Float64Array,
  inside: readonly number[],
): number {
  const turns = inside.slice(1).map((i, k) => {
    const j = inside[k];
    const re = real[i] * real[j] + imag[i] * imag[j];
    const im = imag[i] * real[j] - real[i] * imag[j];
    const size = modulus(re, im) || 1;
    return {
      re: re / size,
      im: im / size,
      radiansPerSecond: 2 * Math.PI * (frequencyHz[i] - frequencyHz[j]),
    };
  });
  const steps = Math.round((2 * SEARCHED_SECONDS) / SEARCH_STEP_SECONDS);
  const score = new Float64Array(steps + 1);
  for (const { re, im, radiansPerSecond } of turns) {
    const stepCos = Math.cos(radiansPerSecond * SEARCH_STEP_SECONDS);
    const stepSin = Math.sin(radiansPerSecond * SEARCH_STEP_SECONDS);
    let cos = Math.cos(radiansPerSecond * SEARCHED_SECONDS);
    let sin = -Math.sin(radiansPerSecond * SEARCHED_SECONDS);
    for (let s = 0; s <= steps; s++) {
      score[s] += re * cos - im * sin;
      const next = cos * stepCos - sin * stepSin;
      sin = sin * stepCos + cos * stepSin;
      cos = next;
    }
  }
  return score.indexOf(Math.max(...score)) * SEARCH_STEP_SECONDS - SEARCHED_SECONDS;
}

function unwrappedPhase(
  { real, imag }: ComplexResponse,
  frequencyHz: Float64Array,
  inside: readonly number[],
  delaySeconds: number,
): Float64Array {
  const phase = new Float64Array(inside.length);
  inside.forEach((i, k) => {
    const wrapped = Math.atan2(imag[i], real[i]) + 2 * Math.PI * frequencyHz[i] * delaySeconds;
    const before = k === 0 ? 0 : phase[k - 1];
    phase[k] = wrapped - 2 * Math.PI * Math.round((wrapped - before) / (2 * Math.PI));
  });
  return phase;
}
