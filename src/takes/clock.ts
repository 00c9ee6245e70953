import { modulus } from '../dsp/modulus.ts';
import { type PhasePoint, phaseSlope } from '../dsp/phase-slope.ts';

/** One response of the opening sweep and one of the closing sweep, of the same channel and programme, clocks not corrected. */
interface ClockEvidence {
  readonly frequencyHz: Float64Array;
  readonly opening: ComplexWithNoise;
  readonly closing: ComplexWithNoise;
  /** Seconds from when the opening sweep passes a frequency to when the closing one does. */
  readonly secondsBetween: Float64Array;
}

interface ComplexWithNoise {
  readonly real: Float64Array;
  readonly imag: Float64Array;
  readonly sigma: Float64Array;
}

/** The recorder's clock against the player's; positive where the recorder counts more samples. */
export interface ClockDifference {
  readonly ppm: number;
  /** 95 % uncertainty. */
  readonly plusMinusPpm: number;
}

/** The widest difference looked for: two clocks of 50 ppm class differ by 100; 500 has been seen (common practice). */
const WIDEST_PPM = 700;
const LEAST_SNR = 10;
const LEAST_POINTS = 8;
/** Phase that no noise explains: rounding, and the sweep's ends. */
const LEAST_PHASE_VARIANCE = 1e-10;

/**
 * Ratio of the two clocks from the phase between an opening and a closing sweep: a difference of e turns the phase by
 * 2 pi f e dt.
 *
 * @returns null where the two sweeps share too little
 */
export function clockDifference({
  frequencyHz,
  opening,
  closing,
  secondsBetween,
}: ClockEvidence): ClockDifference | null {
  const points: PhasePoint[] = [];
  frequencyHz.forEach((hz, i) => {
    const openSnr = modulus(opening.real[i], opening.imag[i]) / opening.sigma[i];
    const closeSnr = modulus(closing.real[i], closing.imag[i]) / closing.sigma[i];
    if (!(openSnr > LEAST_SNR && closeSnr > LEAST_SNR)) return;
    points.push({
      turn: 2e-6 * Math.PI * hz * secondsBetween[i],
      real: closing.real[i] * opening.real[i] + closing.imag[i] * opening.imag[i],
      imag: closing.imag[i] * opening.real[i] - closing.real[i] * opening.imag[i],
      variance: openSnr ** -2 + closeSnr ** -2 + LEAST_PHASE_VARIANCE,
    });
  });
  if (points.length < LEAST_POINTS) return null;
  const { value, sigma } = phaseSlope(points, WIDEST_PPM);
  return { ppm: value, plusMinusPpm: 2 * sigma };
}
