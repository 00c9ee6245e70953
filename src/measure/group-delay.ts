import { gridFrequencyHz, gridPosition } from '../model/frequency-grid.ts';
import type { FrequencyResponse } from '../model/response.ts';

/** The phase slope is taken over this many grid points either way: a sixth of an octave. */
const REACH_POINTS = 8;

/** Group delay of the sum of several responses at a frequency, in seconds: by how much the envelope of a tone is late. */
export function groupDelaySeconds(responses: readonly FrequencyResponse[], frequencyHz: number): number {
  const centre = Math.round(gridPosition(frequencyHz));
  const from = Math.max(0, centre - REACH_POINTS);
  const to = Math.min(gridFrequencyHz.length - 1, centre + REACH_POINTS);
  const part = (name: 'real' | 'imag', i: number) =>
    responses.reduce((sum, response) => sum + response[name][i], 0);
  let turned = 0;
  for (let i = from; i < to; i++) {
    const along = part('real', i + 1) * part('real', i) + part('imag', i + 1) * part('imag', i);
    const across = part('imag', i + 1) * part('real', i) - part('real', i + 1) * part('imag', i);
    turned += Math.atan2(across, along);
  }
  return -turned / (2 * Math.PI * (gridFrequencyHz[to] - gridFrequencyHz[from]));
}
