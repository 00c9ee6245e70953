import { modulus } from '../modulus.ts';
import { windowSigmaSeconds } from '../smoothing-kernel.ts';
import { type LogResponse, withError } from './log-response.ts';
import { modelOf, type ResponseFit } from './response-fit.ts';

/** Share of the computed error that is left as uncertainty: the model it is computed on is itself only close. */
const SHARE = 0.5;
const STEPS = 8;
const REACH = 4;

/**
 * The response with the error of the measurement's smoothing window added to its uncertainty: largest on steep skirts and
 * narrow peaks. It is worked out by smoothing a model of the response with the kernel of `smoothing-kernel.ts`.
 */
export function withWindowError(data: LogResponse, model: ResponseFit): LogResponse {
  return withError(
    data,
    windowError(data, model).map((error) => SHARE * error),
  );
}

/** Relative error, in magnitude or phase, that the smoothing makes at each frequency. */
function windowError({ frequencyHz }: LogResponse, fit: ResponseFit): Float64Array {
  const offsets = Array.from({ length: 2 * STEPS + 1 }, (_, k) => (REACH * (k - STEPS)) / STEPS);
  const kernel = offsets.map((u) => (1.5 - 0.5 * u * u) * Math.exp(-0.5 * u * u));
  const sum = kernel.reduce((total, value) => total + value, 0);
  // The window follows the arrival, so that the delay itself makes no error.
  const still = { ...fit, parameters: fit.parameters.map((value, p) => (p === 1 ? 0 : value)) };
  const centre = modelOf(still, frequencyHz);
  const real = new Float64Array(frequencyHz.length);
  const imag = new Float64Array(frequencyHz.length);
  offsets.forEach((u, k) => {
    const shifted = frequencyHz.map((hz) => Math.max(1, hz + u / (2 * Math.PI * windowSigmaSeconds(hz))));
    const { lnMagnitude, phase } = modelOf(still, shifted);
    for (let i = 0; i < frequencyHz.length; i++) {
      const ratio = (kernel[k] / sum) * Math.exp(lnMagnitude[i] - centre.lnMagnitude[i]);
      real[i] += ratio * Math.cos(phase[i] - centre.phase[i]);
      imag[i] += ratio * Math.sin(phase[i] - centre.phase[i]);
    }
  });
  return real.map((re, i) => modulus(re - 1, imag[i]));
}
