import { choleskyFactor, choleskySolve } from '../cholesky.ts';
import { doubles, reused } from '../kernels/kernel-arrays.ts';
import { kernels } from '../kernels/kernels.ts';
import { addTerm, type EdgeShape, type TermShape } from './filter-terms.ts';
import { type FrequencyAxis, frequencyAxis } from './frequency-axis.ts';
import { dot, productsOf } from './least-squares.ts';
import type { LogResponse } from './log-response.ts';
import { linearised, type ResponseFit } from './response-fit.ts';

/** A term that a fit might still need, with parameters to start from and what it would take off chi-square, linearised. */
interface Proposal {
  readonly shape: TermShape;
  readonly parameters: Float64Array;
  readonly expectedGain: number;
}

/** A first-order high-pass below the band: the coupling capacitors of radio and recorder. */
export const COUPLING: EdgeShape = { kind: 'edge', side: 'high-pass', family: 'butterworth', order: 1 };
export const COUPLING_START_HZ = 4;
/** First-order high-passes below this are the coupling of recorder or radio, up to 10 Hz (common practice), not a band limit. */
export const HIGHEST_COUPLING_HZ = 14;
/** More than any radio's EQ lifts or cuts (common practice: 12 dB): such a peak or shelf stands for part of a filter. */
export const MOST_EQ_GAIN_DB = 15;

/** Where fits begin, not where they end: a finer grid begins nearer and costs time (chosen here). */
const ATOMS_PER_OCTAVE = 4;
const LOWEST_ATOM_HZ = 14;
const HIGHEST_ATOM_HZ = 18_000;
const ATOM_PEAK_Q = [0.6, 1.4, 4];
const ATOM_SHELF_Q = Math.SQRT1_2;
const LARGEST_START_GAIN_DB = 12;

interface Atom {
  readonly shape: TermShape;
  readonly parameters: Float64Array;
  /** Weighted response to one decibel of it (to all of it, for the coupling). */
  readonly column: Float64Array;
  readonly square: number;
}

/**
 * The best term of each kind to add to a fit: orthogonal matching pursuit (Pati et al., Asilomar 1993) over peaks and
 * shelves of one decibel, each with what the fit's own parameters can follow taken out.
 */
export function proposeTerms(data: LogResponse, fit: ResponseFit): Proposal[] {
  const linear = linearised(data, fit);
  const size = linear.columns.length;
  const { normal } = productsOf(linear);
  for (let p = 0; p < size; p++) normal[p * size + p] *= 1 + 1e-9;
  const factor = choleskyFactor(normal, size);
  if (factor === null) return [];
  const best = new Map<TermShape['kind'], Proposal>();
  const column = memoryOfColumn(linear.residuals.length);
  const sums = memoryOfSums(size + 1);
  for (const atom of atomsOf(data, fit.shape.sampleRateHz)) {
    column.set(atom.column);
    kernels.products(linear.rows, column, sums, column.length, size + 1);
    const alongFit = sums.subarray(0, size);
    const along = sums[size];
    const left = atom.square - dot(alongFit, choleskySolve(factor, alongFit));
    if (left < 1e-4 * atom.square) continue;
    const expectedGain = (along * along) / left;
    const isCoupling = atom.shape.kind === 'edge';
    if ((isCoupling && along < 0) || expectedGain <= (best.get(atom.shape.kind)?.expectedGain ?? 0)) continue;
    const parameters = Float64Array.from(atom.parameters);
    if (!isCoupling)
      parameters[1] = Math.max(-LARGEST_START_GAIN_DB, Math.min(LARGEST_START_GAIN_DB, along / left));
    best.set(atom.shape.kind, { shape: atom.shape, parameters, expectedGain });
  }
  return [...best.values()].sort((a, b) => b.expectedGain - a.expectedGain);
}

const memoryOfColumn = reused(doubles);
const memoryOfSums = reused(doubles);

const atomSets = new WeakMap<LogResponse, Map<number | null, readonly Atom[]>>();

function atomsOf(data: LogResponse, sampleRateHz: number | null): readonly Atom[] {
  const ofData = atomSets.get(data) ?? new Map<number | null, readonly Atom[]>();
  atomSets.set(data, ofData);
  const known = ofData.get(sampleRateHz);
  if (known !== undefined) return known;
  const axis = frequencyAxis(data.frequencyHz, sampleRateHz);
  const atoms = atomParameters(data).map(([shape, parameters]) => atomOf(data, axis, shape, parameters));
  ofData.set(sampleRateHz, atoms);
  return atoms;
}

function atomParameters({ frequencyHz }: LogResponse): [TermShape, Float64Array][] {
  const from = Math.max(LOWEST_ATOM_HZ, frequencyHz[0]);
  const to = Math.min(HIGHEST_ATOM_HZ, frequencyHz[frequencyHz.length - 1]);
  const count = Math.max(1, Math.round(ATOMS_PER_OCTAVE * Math.log2(to / from)));
  const all: [TermShape, Float64Array][] = [[COUPLING, Float64Array.of(Math.log(COUPLING_START_HZ))]];
  for (let k = 0; k <= count; k++) {
    const lnHz = Math.log(from) + (k / count) * Math.log(to / from);
    for (const q of ATOM_PEAK_Q) all.push([{ kind: 'peak' }, Float64Array.of(lnHz, 1, Math.log(q))]);
    all.push([{ kind: 'shelf' }, Float64Array.of(lnHz, 1, Math.log(ATOM_SHELF_Q))]);
  }
  return all;
}

function atomOf(data: LogResponse, axis: FrequencyAxis, shape: TermShape, parameters: Float64Array): Atom {
  const count = data.frequencyHz.length;
  const column = new Float64Array(2 * count);
  const sums = { lnMagnitude: column.subarray(0, count), phase: column.subarray(count) };
  addTerm(shape, parameters, axis, sums, null);
  for (let i = 0; i < count; i++) {
    column[i] *= data.weight[i];
    column[count + i] *= data.weight[i];
  }
  return { shape, parameters, column, square: dot(column, column) };
}
