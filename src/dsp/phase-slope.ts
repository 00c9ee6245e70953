import { doubles, reused } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';

/** One value of a cross spectrum whose phase turns with an unknown: by `turn` radians for each unit of it. */
export interface PhasePoint {
  readonly turn: number;
  readonly real: number;
  readonly imag: number;
  /** Variance of the phase, radians squared. */
  readonly variance: number;
}

export interface PhaseSlope {
  readonly value: number;
  /** One standard deviation. */
  readonly sigma: number;
}

const phasorReals = reused(doubles);
const phasorImags = reused(doubles);
const turnCosines = reused(doubles);
const turnSines = reused(doubles);
const coherentSums = reused(doubles);

/** Neighbouring grid points share a smoothing kernel: about this many make one independent value. */
const POINTS_PER_INDEPENDENT_VALUE = 4;
/** A tenth of a turn between candidates finds every peak of the coherent sum. */
const STEP_TURNS = 0.1;

/**
 * The unknown that brings all points in phase: looked for first among the points that turn slowest, where it is
 * unambiguous, then with twice the reach at a time, and last by weighted least squares.
 *
 * @param points at least one; in any order
 * @param reach the unknown lies within plus or minus this
 */
export function phaseSlope(points: readonly PhasePoint[], reach: number): PhaseSlope {
  const byTurn = [...points].sort((a, b) => a.turn - b.turn);
  const fastest = byTurn[byTurn.length - 1].turn;
  let value = 0;
  let width = reach;
  let count = 0;
  for (let top = 2 * byTurn[0].turn; ; top *= 2) {
    const step = (STEP_TURNS * 2 * Math.PI) / Math.min(top, fastest);
    while (count < byTurn.length && byTurn[count].turn <= top) count++;
    value = mostCoherent(byTurn, { count, centre: value, width, step });
    if (top >= fastest) break;
    width = 4 * step;
  }
  return leastSquares(byTurn, value);
}

/** Of the first `count` points. */
function mostCoherent(
  points: readonly PhasePoint[],
  { count, centre, width, step }: { count: number; centre: number; width: number; step: number },
): number {
  const steps = Math.ceil(width / step);
  // One unit phasor a point, turned on from candidate to candidate: cosines for all of them would take ten times as long.
  const [real, imag, cos, sin, sums] = [
    phasorReals(count),
    phasorImags(count),
    turnCosines(count),
    turnSines(count),
    coherentSums(2 * steps + 1),
  ];
  for (let i = 0; i < count; i++) {
    const point = points[i];
    const size = Math.sqrt(point.real * point.real + point.imag * point.imag);
    const angle = point.turn * (centre - steps * step);
    const c = Math.cos(angle) / size;
    const s = Math.sin(angle) / size;
    real[i] = point.real * c - point.imag * s;
    imag[i] = point.real * s + point.imag * c;
    cos[i] = Math.cos(point.turn * step);
    sin[i] = Math.sin(point.turn * step);
  }
  kernels.phasorSums(real, imag, cos, sin, sums, count, sums.length);
  let best = steps;
  for (let j = 0; j < sums.length; j++) if (sums[j] > sums[best]) best = j;
  return centre + (best - steps) * step;
}

/** Phase that is left over turn, weighted by its variance; twice, the second time from where the first arrived. */
function leastSquares(points: readonly PhasePoint[], from: number): PhaseSlope {
  let value = from;
  let information = 0;
  for (let round = 0; round < 2; round++) {
    let slope = 0;
    information = 0;
    for (const { turn, real, imag, variance } of points) {
      const cos = Math.cos(turn * value);
      const sin = Math.sin(turn * value);
      slope += (turn * Math.atan2(real * sin + imag * cos, real * cos - imag * sin)) / variance;
      information += (turn * turn) / variance;
    }
    value -= slope / information;
  }
  return { value, sigma: Math.sqrt(POINTS_PER_INDEPENDENT_VALUE / information) };
}
