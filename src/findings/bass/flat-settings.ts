import type { BassLevel } from './bass-levels.ts';
import { isSteady } from './plateau.ts';

/**
 * Bass that stands so near to the middle at every frequency is what the radio does when it does nothing: no contour lifts what
 * falls off by itself to a straight line (chosen here).
 */
const FLAT_DB = 1;

/** The longest run of neighbouring settings at which the bass is flat and the same; empty where it is flat at none. */
export function flatSettings(levels: readonly BassLevel[]): readonly BassLevel[] {
  let longest: readonly BassLevel[] = [];
  for (let start = 0; start < levels.length; start++) {
    let end = start;
    while (end < levels.length && areFlat([levels[end]]) && isSteady(levels.slice(start, end + 1))) end++;
    if (end - start > longest.length) longest = levels.slice(start, end);
  }
  return longest;
}

export function areFlat(levels: readonly BassLevel[]): boolean {
  return levels.every((level) => isEven(level, FLAT_DB));
}

/** Whether the bass is known at every frequency, and within so many decibels of the middle. */
export function isEven({ relative }: BassLevel, withinDb: number): boolean {
  return relative.every((level) => level !== null && Math.abs(level.value) < withinDb);
}
