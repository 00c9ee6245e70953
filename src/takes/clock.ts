/** One response of the opening sweep and one of the closing sweep, of the same channel and programme, clocks not corrected. */
export interface ClockEvidence {
  readonly frequencyHz: Float64Array;
  readonly opening: { readonly real: Float64Array; readonly imag: Float64Array; readonly sigma: Float64Array };
  readonly closing: { readonly real: Float64Array; readonly imag: Float64Array; readonly sigma: Float64Array };
  /** Seconds from when the opening sweep passes a frequency to when the closing one does. */
  readonly secondsBetween: Float64Array;
}

/** The recorder's clock against the player's; positive where the recorder counts more samples. */
export interface ClockDifference {
  readonly ppm: number;
  /** 95 % uncertainty. */
  readonly plusMinusPpm: number;
}

/** The widest difference looked for; consumer clocks of 1000 ppm class are far better in practice (common practice). */
const WIDEST_PPM = 700;
/** Points below this are left out. */
const LEAST_SNR = 10;
/** Neighbouring grid points share a smoothing kernel: about this many points make one independent value. */
const POINTS_PER_INDEPENDENT_VALUE = 4;

/**
 * Ratio of the two clocks from the phase between an opening and a closing sweep: a difference of e turns the phase by
 * 2 pi f e dt. The search starts where the turn is unambiguous (the lowest octave) and adds an octave at a time.
 *
 * @returns null where the two sweeps share too little
 */
export function clockDifference(evidence: ClockEvidence): ClockDifference | null {
  const points = usablePoints(evidence);
  if (points.length < 8) return null;
  const lowestHz = points[0].frequencyHz;
  const highestHz = points[points.length - 1].frequencyHz;
  let ppm = 0;
  let reach = WIDEST_PPM;
  for (let top = 2 * lowestHz; ; top *= 2) {
    const inBand = points.filter((point) => point.frequencyHz <= top);
    const step = 0.1e6 / (Math.min(top, highestHz) * inBand[inBand.length - 1].secondsBetween);
    ppm = mostCoherent(inBand, { centre: ppm, reach, step });
    reach = 4 * step;
    if (top >= highestHz) break;
  }
  return refine(points, ppm);
}

interface Point {
  readonly frequencyHz: number;
  readonly secondsBetween: number;
  /** Closing times conjugate opening. */
  readonly real: number;
  readonly imag: number;
  /** Variance of the phase. */
  readonly variance: number;
}

function usablePoints({ frequencyHz, opening, closing, secondsBetween }: ClockEvidence): Point[] {
  const points: Point[] = [];
  frequencyHz.forEach((hz, i) => {
    const openSnr = Math.hypot(opening.real[i], opening.imag[i]) / opening.sigma[i];
    const closeSnr = Math.hypot(closing.real[i], closing.imag[i]) / closing.sigma[i];
    if (!(openSnr > LEAST_SNR && closeSnr > LEAST_SNR)) return;
    points.push({
      frequencyHz: hz,
      secondsBetween: secondsBetween[i],
      real: closing.real[i] * opening.real[i] + closing.imag[i] * opening.imag[i],
      imag: closing.imag[i] * opening.real[i] - closing.real[i] * opening.imag[i],
      variance: openSnr ** -2 + closeSnr ** -2 + 1e-12,
    });
  });
  return points;
}

function mostCoherent(points: readonly Point[], around: { centre: number; reach: number; step: number }): number {
  let best = around.centre;
  let bestSum = -1;
  for (let ppm = around.centre - around.reach; ppm <= around.centre + around.reach; ppm += around.step) {
    let real = 0;
    let imag = 0;
    for (const point of points) {
      const angle = 2e-6 * Math.PI * point.frequencyHz * point.secondsBetween * ppm;
      const weight = 1 / Math.hypot(point.real, point.imag);
      real += weight * (point.real * Math.cos(angle) - point.imag * Math.sin(angle));
      imag += weight * (point.real * Math.sin(angle) + point.imag * Math.cos(angle));
    }
    const sum = Math.hypot(real, imag) * (real > 0 ? 1 : 0.5); // in phase, not opposed
    if (sum > bestSum) {
      bestSum = sum;
      best = ppm;
    }
  }
  return best;
}

/** Weighted least squares on the phase that is left, twice. */
function refine(points: readonly Point[], from: number): ClockDifference {
  let ppm = from;
  let information = 0;
  for (let round = 0; round < 2; round++) {
    let slope = 0;
    information = 0;
    for (const point of points) {
      const turn = 2e-6 * Math.PI * point.frequencyHz * point.secondsBetween;
      const angle = turn * ppm;
      const phase = Math.atan2(
        point.real * Math.sin(angle) + point.imag * Math.cos(angle),
        point.real * Math.cos(angle) - point.imag * Math.sin(angle),
      );
      slope += (turn * phase) / point.variance;
      information += (turn * turn) / point.variance;
    }
    ppm -= slope / information;
  }
  return { ppm, plusMinusPpm: 2 * Math.sqrt(POINTS_PER_INDEPENDENT_VALUE / information) };
}
