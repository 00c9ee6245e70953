import { gridFrequencyHz, gridPosition } from '../model/frequency-grid.ts';
import type { FrequencyResponse } from '../model/response.ts';

/** The phase slope is taken over this many grid points either way: a sixth of an octave. */
const REACH_POINTS = 8;
const TURN = 2 * Math.PI;

/**
 * Group delay of the sum of several responses at a frequency, in seconds: by how much the envelope of a tone is late.
 *
 * From point to point of the grid the phase of a late tap turns by more than half a turn at high frequencies (6 ms at
 * 6 kHz). So the delay is followed up from the lowest trusted point, where the grid is close, each step read as the one
 * nearest to the delay so far.
 */
export function groupDelaySeconds(responses: readonly FrequencyResponse[], frequencyHz: number): number {
  const centre = Math.round(gridPosition(frequencyHz));
  const to = Math.min(gridFrequencyHz.length - 1, centre + REACH_POINTS);
  const from = Math.max(0, centre - REACH_POINTS);
  const steps = phaseSteps(responses, { from: Math.min(from, lowestTrusted(responses) ?? from), to });
  let delaySeconds = 0;
  const turned: number[] = [];
  for (const { radians, widthHz } of steps) {
    const expected = turned.length < REACH_POINTS ? 0 : -TURN * widthHz * delaySeconds;
    turned.push(expected + nearest(radians - expected));
    const recent = Math.min(turned.length, 2 * REACH_POINTS);
    const width = steps
      .slice(turned.length - recent, turned.length)
      .reduce((sum, step) => sum + step.widthHz, 0);
    delaySeconds = -turned.slice(-recent).reduce((sum, radiansOf) => sum + radiansOf, 0) / (TURN * width);
  }
  return delaySeconds;
}

interface PhaseStep {
  readonly radians: number;
  readonly widthHz: number;
}

/** Turn of the phase between neighbours of the grid, within half a turn. */
function phaseSteps(
  responses: readonly FrequencyResponse[],
  { from, to }: { from: number; to: number },
): PhaseStep[] {
  const part = (name: 'real' | 'imag', i: number) =>
    responses.reduce((sum, response) => sum + response[name][i], 0);
  return Array.from({ length: to - from }, (_, j) => {
    const i = from + j;
    const along = part('real', i + 1) * part('real', i) + part('imag', i + 1) * part('imag', i);
    const across = part('imag', i + 1) * part('real', i) - part('real', i + 1) * part('imag', i);
    return { radians: Math.atan2(across, along), widthHz: gridFrequencyHz[i + 1] - gridFrequencyHz[i] };
  });
}

function lowestTrusted(responses: readonly FrequencyResponse[]): number | null {
  const edges = responses.flatMap(({ trustedHz }) => (trustedHz === null ? [] : [trustedHz[0]]));
  return edges.length === 0 ? null : Math.max(0, Math.ceil(gridPosition(Math.min(...edges))));
}

/** The same angle within half a turn. */
function nearest(radians: number): number {
  return radians - TURN * Math.round(radians / TURN);
}
