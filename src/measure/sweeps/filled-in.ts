import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import { modulus } from '../../dsp/modulus.ts';
import type { SweepResponse } from '../../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';

/** The closing sweep reads a linear system as the opening one does, within this (0.02 dB; tests/measure/measure-take.test.ts). */
const OTHER_SWEEP = 0.02 / DB_PER_NEPER;

/** The opening sweep with the frequencies that an announcement covered taken from the closing one, which repeats it. */
export function filledIn(
  opening: SweepResponse,
  closing: SweepResponse,
  spoilt: readonly { readonly spoiltHz: readonly [number, number] }[],
): SweepResponse {
  const isSpoilt = (hz: number) => spoilt.some(({ spoiltHz: [low, high] }) => hz >= low && hz <= high);
  const filled = (part: keyof SweepResponse) =>
    opening[part].map((value, k) => (isSpoilt(gridFrequencyHz[k]) ? closing[part][k] : value));
  const [real, imag] = [filled('real'), filled('imag')];
  const sigma = filled('sigma').map((value, k) =>
    isSpoilt(gridFrequencyHz[k]) ? modulus(value, OTHER_SWEEP * modulus(real[k], imag[k])) : value,
  );
  return { real, imag, sigma };
}
