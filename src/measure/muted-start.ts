import type { SweepResponse } from '../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import { size, snr } from './gain-change.ts';

/** A mute takes this much away at least; no limiter does (common practice). */
const MUTED_DB = 20;
/** Open again where the two sweeps agree within this over a sixth of an octave. */
const OPEN_DB = 0.5;
const OPEN_POINTS = 8;
const LEAST_SNR = 10;

/**
 * Up to which frequency the first sweep of a take was muted or still fading in: its bass is missing, and the closing sweep
 * has it.
 *
 * @returns null where nothing is missing
 */
export function mutedUpToHz({
  opening,
  closing,
}: {
  opening: SweepResponse;
  closing: SweepResponse;
}): number | null {
  const lacks = Array.from(gridFrequencyHz, (_, i) =>
    snr(closing, i) > LEAST_SNR ? 20 * Math.log10(size(closing, i) / (size(opening, i) + 1e-15)) : null,
  );
  const first = lacks.findIndex((lack) => lack !== null);
  if (first < 0 || lacks[first]! < MUTED_DB) return null;
  const open = lacks.findIndex(
    (_, i) =>
      i > first && lacks.slice(i, i + OPEN_POINTS).every((lack) => lack !== null && Math.abs(lack) < OPEN_DB),
  );
  return open < 0 ? null : gridFrequencyHz[open];
}

/** The response with what was muted marked as not read at all. */
export function withoutMuted(response: SweepResponse, upToHz: number): SweepResponse {
  return {
    ...response,
    sigma: response.sigma.map((sigma, i) =>
      gridFrequencyHz[i] < upToHz ? Math.max(sigma, size(response, i)) : sigma,
    ),
  };
}
