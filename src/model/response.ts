import { gridFrequencyHz, type RangeHz, valueAt } from './frequency-grid.ts';

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

/** Magnitude on the grid where it can be trusted, with its strongest value. */
export interface MagnitudeCurve {
  readonly magnitude: Float64Array;
  readonly trustedHz: readonly [number, number] | null;
  readonly strongest: number;
}

/** Magnitude of a response, or of the sum of several with one time zero. */
export function magnitudeCurve(responses: readonly FrequencyResponse[]): MagnitudeCurve {
  const magnitude = new Float64Array(gridFrequencyHz.length);
  for (let i = 0; i < magnitude.length; i++) {
    let re = 0;
    let im = 0;
    for (const { real, imag } of responses) {
      re += real[i];
      im += imag[i];
    }
    magnitude[i] = Math.sqrt(re * re + im * im);
  }
  const trusted = responses.flatMap(({ trustedHz }) => (trustedHz === null ? [] : [trustedHz]));
  const trustedHz: [number, number] | null =
    trusted.length === 0
      ? null
      : [Math.min(...trusted.map(([low]) => low)), Math.max(...trusted.map(([, high]) => high))];
  const strongest = magnitude.reduce(
    (most, value, i) => (isTrusted({ trustedHz }, gridFrequencyHz[i]) ? Math.max(most, value) : most),
    0,
  );
  return { magnitude, trustedHz, strongest };
}

/** Between grid points a straight line; null outside the trusted band. */
export function magnitudeAt(curve: MagnitudeCurve, frequencyHz: number): number | null {
  return isTrusted(curve, frequencyHz) ? valueAt(curve.magnitude, frequencyHz) : null;
}

export function isWithin([lowHz, highHz]: RangeHz, frequencyHz: number): boolean {
  return frequencyHz >= lowHz && frequencyHz <= highHz;
}

/** Whether a response, or what was made of it, stands clear of the noise at a frequency. */
export function isTrusted({ trustedHz }: { trustedHz: RangeHz | null }, frequencyHz: number): boolean {
  return trustedHz !== null && isWithin(trustedHz, frequencyHz);
}
