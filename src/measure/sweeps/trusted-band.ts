import { ratioOf } from '../../dsp/decibels.ts';
import { modulus } from '../../dsp/modulus.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { type FrequencyResponse, TRUSTED_SNR_DB } from '../../model/response.ts';

/** Below this the opening fade, above it the sweep's end, shape what is read (tests/dsp/sweep-response.test.ts). */
const LOWEST_TRUSTED_HZ = 12;
const HIGHEST_TRUSTED_HZ = 19_500;
/** A null narrower than this many grid points (a sixth of an octave is 8) does not end the band. */
const WIDEST_GAP_POINTS = 12;

/** Far below what 32-bit samples hold beside a full-scale one: no noise is less, and less is no response. */
const LEAST = 1e-12;

/**
 * Makes a response and judges where it can be trusted: the widest stretch that stands TRUSTED_SNR_DB above its noise. Of digital
 * zero, and of numbers that are none, it is nothing with a little noise, so that no quotient of it is beyond numbers.
 */
export function frequencyResponse(parts: Omit<FrequencyResponse, 'trustedHz'>): FrequencyResponse {
  const isHeard = parts.real.map((re, i) => (modulus(re, parts.imag[i]) > LEAST ? 1 : 0));
  const response = {
    real: parts.real.map((re, i) => (isHeard[i] ? re : 0)),
    imag: parts.imag.map((im, i) => (isHeard[i] ? im : 0)),
    sigma: parts.sigma.map((sigma) => (Number.isFinite(sigma) ? Math.max(sigma, LEAST) : LEAST)),
  };
  return { ...response, trustedHz: trustedBand(response) };
}

function trustedBand({ real, imag, sigma }: Omit<FrequencyResponse, 'trustedHz'>): [number, number] | null {
  const least = ratioOf(TRUSTED_SNR_DB) * Math.SQRT2;
  let best: [number, number] | null = null;
  let start = -1;
  let last = -1;
  const keepWidest = () => {
    if (start >= 0 && last > start && (best === null || last - start > best[1] - best[0]))
      best = [start, last];
  };
  gridFrequencyHz.forEach((hz, i) => {
    if (hz < LOWEST_TRUSTED_HZ || hz > HIGHEST_TRUSTED_HZ) return;
    if (!(modulus(real[i], imag[i]) > least * sigma[i])) return;
    if (start < 0 || i - last > WIDEST_GAP_POINTS) {
      keepWidest();
      start = i;
    }
    last = i;
  });
  keepWidest();
  return best === null ? null : [gridFrequencyHz[best[0]], gridFrequencyHz[best[1]]];
}
