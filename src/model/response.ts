/**
 * Complex frequency response on the grid of `frequency-grid.ts`: full-scale units of the recording for full-scale
 * drive, so that 1 means "a 0 dBFS tone in the track is a full-scale sine in the recording".
 * Time zero is the `timeOrigin` of the measurement that holds it.
 */
export interface FrequencyResponse {
  readonly real: Float64Array;
  readonly imag: Float64Array;
  /** Standard deviation of the error of `real` and of `imag` each, from the noise beside the response. */
  readonly sigma: Float64Array;
  /** Where the response stands at least TRUSTED_SNR_DB above its own noise; null where nowhere. */
  readonly trustedHz: readonly [number, number] | null;
}

/** A response is trusted where it stands this far above its own noise (common practice: 20 dB is 0.9 dB of ripple). */
export const TRUSTED_SNR_DB = 20;

export function magnitudeDb(response: FrequencyResponse): Float64Array {
  return response.real.map((re, i) => 10 * Math.log10(re * re + response.imag[i] * response.imag[i] + 1e-30));
}

export function phaseRadians(response: FrequencyResponse): Float64Array {
  return response.real.map((re, i) => Math.atan2(response.imag[i], re));
}
