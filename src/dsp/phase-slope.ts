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
  for (let top = 2 * byTurn[0].turn; ; top *= 2) {
    const step = (STEP_TURNS * 2 * Math.PI) / Math.min(top, fastest);
    value = mostCoherent(
      byTurn.filter((point) => point.turn <= top),
      { centre: value, width, step },
    );
    if (top >= fastest) break;
    width = 4 * step;
  }
  return leastSquares(byTurn, value);
}

function mostCoherent(
  points: readonly PhasePoint[],
  { centre, width, step }: { centre: number; width: number; step: number },
): number {
  let best = centre;
  let bestSum = Number.NEGATIVE_INFINITY;
  const steps = Math.ceil(width / step);
  // One unit phasor a point, turned on from candidate to candidate: cosines for all of them would take ten times as long.
  const phasors = points.map(({ turn, real, imag }) =>
    unitPhasor(turn * (centre - steps * step), { real, imag }),
  );
  const turns = points.map(({ turn }) => unitPhasor(turn * step, { real: 1, imag: 0 }));
  for (let j = -steps; j <= steps; j++) {
    let inPhase = 0;
    for (let i = 0; i < phasors.length; i++) {
      const { real, imag } = phasors[i];
      const { real: cos, imag: sin } = turns[i];
      inPhase += real;
      phasors[i].real = real * cos - imag * sin;
      phasors[i].imag = real * sin + imag * cos;
    }
    if (inPhase > bestSum) {
      bestSum = inPhase;
      best = centre + j * step;
    }
  }
  return best;
}

function unitPhasor(
  angle: number,
  { real, imag }: { real: number; imag: number },
): { real: number; imag: number } {
  const size = Math.hypot(real, imag);
  const cos = Math.cos(angle) / size;
  const sin = Math.sin(angle) / size;
  return { real: real * cos - imag * sin, imag: real * sin + imag * cos };
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
