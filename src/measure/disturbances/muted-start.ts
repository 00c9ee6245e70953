import { DB_PER_NEPER, decibels } from '../../dsp/decibels.ts';
import type { SweepResponse } from '../../dsp/sweep-response.ts';
import { gridFrequencyHz, POINTS_PER_DECADE } from '../../model/frequency-grid.ts';
import { size, snr } from './gain-change.ts';

/** A mute takes this much away at least; no limiter does (common practice). */
const MUTED_DB = 20;
/**
 * An output that fades in lacks less and less over this many octaves. A bass limiter that works differently on the faster
 * sweep was never seen to do so over more than 1.2 (limiters of the simulator, 0.1 to 3 s release).
 */
const FADING_OCTAVES = 1.5;
/** What is lacking may rise by this on the way, for noise. */
const RIPPLE_DB = 0.3;
/** Open again where the two sweeps agree within this, or within what noise leaves to tell, over a sixth of an octave. */
const OPEN_DB = 0.05;
const CLOSED_DB = 0.5;
const OPEN_POINTS = 8;
/** As many points are lacking where the lead-in already shows that the output is not up. */
const CLOSED_POINTS = 4;
const COVERAGE = 3;
const LEAST_SNR = 10;

/**
 * Up to which frequency the first sweep of a take was muted or still fading in: its bass is missing, and the closing sweep
 * has it.
 *
 * @param lacksLeadIn whether the lead-in shows it too: a fade that ends early in the sweep is told by both together
 * @returns null where nothing is missing
 */
export function mutedUpToHz({
  opening,
  closing,
  lacksLeadIn = () => false,
}: {
  opening: SweepResponse;
  closing: SweepResponse;
  lacksLeadIn?: () => boolean;
}): number | null {
  const lacks = Array.from(gridFrequencyHz, (_, i) =>
    snr(closing, i) > LEAST_SNR ? decibels(size(closing, i) / (size(opening, i) + 1e-15)) : null,
  );
  const first = lacks.findIndex((lack) => lack !== null);
  if (first < 0) return null;
  const noiseDb = (i: number) =>
    COVERAGE * DB_PER_NEPER * Math.hypot(1 / snr(closing, i), 1 / snr(opening, i));
  const isOpen = (i: number) => {
    const lack = lacks[i] ?? null;
    return lack !== null && Math.abs(lack) < Math.min(CLOSED_DB, Math.max(OPEN_DB, noiseDb(i)));
  };
  const isClosed = (i: number) => (lacks[i] ?? 0) > Math.max(CLOSED_DB, noiseDb(i));
  const run = (from: number, points: number, is: (i: number) => boolean) =>
    Array.from({ length: points }, (_, k) => is(from + k)).every(Boolean);
  if (
    lacks[first]! < MUTED_DB &&
    !fades(lacks, first) &&
    !(run(first, CLOSED_POINTS, isClosed) && lacksLeadIn())
  )
    return null;
  const open = lacks.findIndex((_, i) => i > first && run(i, OPEN_POINTS, isOpen));
  return open < 0 ? null : gridFrequencyHz[open];
}

/** Whether less and less is lacking from the lowest frequency on, as time passes. */
function fades(lacks: readonly (number | null)[], first: number): boolean {
  const run = lacks.slice(first, first + Math.round(FADING_OCTAVES * Math.log10(2) * POINTS_PER_DECADE));
  return run.every(
    (lack, i) =>
      lack !== null && lack > CLOSED_DB && run.slice(0, i).every((before) => lack <= before! + RIPPLE_DB),
  );
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
