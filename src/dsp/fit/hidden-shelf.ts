import { addTerm } from './filter-terms.ts';
import { frequencyAxis } from './frequency-axis.ts';
import { dot } from './least-squares.ts';
import type { LogResponse } from './log-response.ts';
import { linearised, type ResponseFit } from './response-fit.ts';

/** A low shelf that a response may hold although no fit shows it: too small, or with its step outside the measured band. */
interface HiddenShelf {
  /** What a decibel of it adds to each parameter of a fit that lacks it. */
  readonly perDecibel: Float64Array;
  /** One standard deviation of its gain, as far as the response bounds it, dB. */
  readonly gainSigmaDb: number;
}

/** A radio's tone control and the bass that it takes away or adds with the volume (common practice). */
const SHELF_HZ = 125;
const SHELF_Q = Math.SQRT1_2;
/** One standard deviation of such shelves (common practice). */
const USUAL_GAIN_DB = 3;

/**
 * The low shelf that a fit may lack, as a further parameter of known spread: the fit's own parameters trade with it, which
 * their covariance does not know. Source: marginal covariance of Bayesian linear regression (Bishop, Pattern Recognition
 * and Machine Learning, 2006, section 3.3; from memory).
 */
export function hiddenShelf(data: LogResponse, fit: ResponseFit): HiddenShelf {
  const { columns } = linearised(data, fit);
  const size = columns.length;
  const shelf = shelfColumn(data, fit);
  const shared = Float64Array.from(columns, (column) => dot(column, shelf));
  const perDecibel = Float64Array.from(columns, (_, p) =>
    dot(fit.covariance.subarray(p * size, (p + 1) * size), shared),
  );
  const seen = Math.max(0, dot(shelf, shelf) - dot(shared, perDecibel));
  return { perDecibel, gainSigmaDb: 1 / Math.sqrt(seen + USUAL_GAIN_DB ** -2) };
}

/** What a decibel of the shelf does to the response, over its standard deviation: magnitudes first, then phases. */
function shelfColumn(data: LogResponse, { shape }: ResponseFit): Float64Array {
  const count = data.frequencyHz.length;
  const columns = Array.from({ length: 3 }, () => new Float64Array(2 * count));
  const sums = { lnMagnitude: new Float64Array(count), phase: new Float64Array(count) };
  const flat = Float64Array.of(Math.log(SHELF_HZ), 0, Math.log(SHELF_Q));
  addTerm({ kind: 'shelf' }, flat, frequencyAxis(data.frequencyHz, shape.sampleRateHz), sums, columns);
  const [, byGain] = columns;
  return byGain.map((value, i) => value * data.weight[i % count]);
}
