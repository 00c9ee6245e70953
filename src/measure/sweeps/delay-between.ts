import { modulus } from '../../dsp/modulus.ts';
import { type PhasePoint, type PhaseSlope, phaseSlope } from '../../dsp/phase-slope.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { FrequencyResponse } from '../../model/response.ts';

/** Two takes are placed by their sweeps to within this. */
const FURTHEST_SECONDS = 0.1;
const LEAST_SNR = 10;
const LEAST_POINTS = 8;

/**
 * How much later `later` is than `earlier`, in seconds, for two responses of the same tap, which differ by nothing but a
 * delay (and a little level).
 *
 * @returns null where they share too little
 */
export function delayBetween({
  earlier,
  later,
}: {
  earlier: FrequencyResponse;
  later: FrequencyResponse;
}): PhaseSlope | null {
  const points: PhasePoint[] = [];
  for (let i = 0; i < gridFrequencyHz.length; i++) {
    const a = modulus(earlier.real[i], earlier.imag[i]) / earlier.sigma[i];
    const b = modulus(later.real[i], later.imag[i]) / later.sigma[i];
    if (!(a > LEAST_SNR && b > LEAST_SNR)) continue;
    points.push({
      turn: 2 * Math.PI * gridFrequencyHz[i],
      real: later.real[i] * earlier.real[i] + later.imag[i] * earlier.imag[i],
      imag: later.imag[i] * earlier.real[i] - later.real[i] * earlier.imag[i],
      variance: a ** -2 + b ** -2 + 1e-10,
    });
  }
  return points.length < LEAST_POINTS ? null : phaseSlope(points, FURTHEST_SECONDS);
}

/** The same response with its time zero moved, so that it arrives `seconds` earlier. */
export function movedEarlier(response: FrequencyResponse, seconds: number): FrequencyResponse {
  const real = new Float64Array(response.real.length);
  const imag = new Float64Array(response.real.length);
  gridFrequencyHz.forEach((hz, i) => {
    const cos = Math.cos(2 * Math.PI * hz * seconds);
    const sin = Math.sin(2 * Math.PI * hz * seconds);
    real[i] = response.real[i] * cos - response.imag[i] * sin;
    imag[i] = response.real[i] * sin + response.imag[i] * cos;
  });
  return { ...response, real, imag };
}
