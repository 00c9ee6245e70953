import { type RandomFactory, randomFactory } from '../../src/simulate/random-factory.ts';

/** The method is mended by what seeds below this show; those above it are only ever counted. */
export const FIRST_HELD_OUT_SEED = 1_000_000;
/** From here on within each of the two blocks, radios are rich in what too few have for a count. */
export const FIRST_RICH_SEED = 500_000;

/** And from here on up to them, one of the unusual kinds is in each. */
export const FIRST_UNUSUAL_SEED = 250_000;

/** The radio of a seed of the study. */
export function drawSystem(seed: number): RandomFactory {
  const within = seed % FIRST_HELD_OUT_SEED;
  const rich = within >= FIRST_RICH_SEED;
  return randomFactory(seed, { rich, unusual: !rich && within >= FIRST_UNUSUAL_SEED });
}
