import type { BassLevel } from '../../../src/findings/bass/bass-levels.ts';
import { BASS_FREQUENCIES_HZ } from '../../../src/model/finding.ts';

export const COUNT = BASS_FREQUENCIES_HZ.length;
/** The same bass against the middle at every frequency, or one value each; null where it is not known. */
export function level(setting: number, db: number | (number | null)[], sigma = 0.01): BassLevel {
  const values = typeof db === 'number' ? Array.from({ length: COUNT }, () => db) : db;
  return {
    setting,
    relative: values.map((value) => (value === null ? null : { value, sigma })),
  } as unknown as BassLevel;
}
export const levels = (...db: (number | (number | null)[])[]) =>
  db.map((value, i) => level(10 + 4 * i, value));
