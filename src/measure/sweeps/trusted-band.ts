import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { type FrequencyResponse, TRUSTED_SNR_DB } from '../../model/response.ts';

/** Below this the opening fade, above it the sweep's end, shape what is read (tests/dsp/sweep-response.test.ts). */
const LOWEST_TRUSTED_HZ = 12;
const HIGHEST_TRUSTED_HZ = 19_500;
/** A null narrower than this many grid points (a sixth of an octave is 8) does not end the band. */
const WIDEST_GAP_POINTS = 12;

/** Makes a response and judges where it can be trusted: the widest stretch that stands TRUSTED_SNR_DB above its noise. */
export function frequencyResponse(parts: Omit<FrequencyResponse, 'trustedHz'>): FrequencyResponse {
  return { real: parts.real, imag: parts.imag, sigma: parts.sigma, trustedHz: trustedBand(parts) };
}

function trustedBand({ real, imag, sigma }: Omit<FrequencyResponse, 'trustedHz'>): [number, number] | null {
  const least = 10 ** (TRUSTED_SNR_DB / 20) * Math.SQRT2;
  let best: [number, number] | null = null;
  let start = -1;
  let last = -1;
  const keepWidest = () => {
    if (start >= 0 && last > start && (best === null || last - start > best[1] - best[0]))
      best = [start, last];
  };
  gridFrequencyHz.forEach((hz, i) => {
    if (hz < LOWEST_TRUSTED_HZ || hz > HIGHEST_TRUSTED_HZ) return;
    if (!(Math.hypot(real[i], imag[i]) > least * sigma[i])) return;
    if (start < 0 || i - last > WIDEST_GAP_POINTS) {
      keepWidest();
      start = i;
    }
    last = i;
  });
  keepWidest();
  return best === null ? null : [gridFrequencyHz[best[0]], gridFrequencyHz[best[1]]];
}
