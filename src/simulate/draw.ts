import type { Random } from '../dsp/random.ts';

/** True in this part of all draws. */
export function chance(random: Random, part: number): boolean {
  return random.uniform() < part;
}

/** One of a list, all alike. */
export function pick<Choice>(random: Random, choices: readonly Choice[]): Choice {
  return choices[Math.floor(random.uniform() * choices.length)];
}

/** Evenly over the logarithm. */
export function logarithmic(random: Random, [from, to]: readonly [number, number]): number {
  return from * (to / from) ** random.uniform();
}
