import { gridFrequencyHz, gridPosition, nearestPoint } from '../../model/frequency-grid.ts';
import type { FrequencyResponse } from '../../model/response.ts';

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
  const centre = nearestPoint(frequencyHz);
  const to = Math.min(gridFrequencyHz.length - 1, centre + REACH_POINTS);
  const within = Math.max(0, centre - REACH_POINTS);
  const from = Math.min(within, lowestTrusted(responses) ?? within);
  const steps = phaseSteps(responses, { from, to });
  // Sums over the last steps: the phase slope so far.
  let radians = 0;
  let widthHz = 0;
  for (let j = 0; j < steps.length; j++) {
    const stepHz = gridFrequencyHz[from + j + 1] - gridFrequencyHz[from + j];
    const expected = j < REACH_POINTS ? 0 : (stepHz * radians) / widthHz;
    steps[j] = expected + nearest(steps[j] - expected);
    radians += steps[j];
    widthHz += stepHz;
    const gone = j - 2 * REACH_POINTS;
    if (gone < 0) continue;
    radians -= steps[gone];
    widthHz -= gridFrequencyHz[from + gone + 1] - gridFrequencyHz[from + gone];
  }
  return steps.length === 0 ? 0 : -radians / (TURN * widthHz);
}

/** Turn of the phase between neighbours of the grid, radians within half a turn. */
function phaseSteps(
  responses: readonly FrequencyResponse[],
  { from, to }: { from: number; to: number },
): Float64Array {
  const real = new Float64Array(to - from + 1);
  const imag = new Float64Array(to - from + 1);
  for (const response of responses)
    for (let j = 0; j < real.length; j++) {
      real[j] += response.real[from + j];
      imag[j] += response.imag[from + j];
    }
  const steps = new Float64Array(to - from);
  for (let j = 0; j < steps.length; j++) {
    const along = real[j + 1] * real[j] + imag[j + 1] * imag[j];
    const across = imag[j + 1] * real[j] - real[j + 1] * imag[j];
    steps[j] = Math.atan2(across, along);
  }
  return steps;
}

function lowestTrusted(responses: readonly FrequencyResponse[]): number | null {
  const edges = responses.flatMap(({ trustedHz }) => (trustedHz === null ? [] : [trustedHz[0]]));
  return edges.length === 0 ? null : Math.max(0, Math.ceil(gridPosition(Math.min(...edges))));
}

/** The same angle within half a turn. */
function nearest(radians: number): number {
  return radians - TURN * Math.round(radians / TURN);
}
