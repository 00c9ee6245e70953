import type { TakeFacts } from '../../model/check.ts';
import type { Reason } from '../../model/reason.ts';

/** The track begun anew at an untouched volume (repeats at one setting agree this well). */
const SAME_LEVEL_DB = 0.3;

/**
 * Takes of one file that are not whole and were begun anew at the same level: somebody stopped the track and played it
 * again. Their clock may not be known, so that they would spoil arrivals when averaged into the repeat.
 *
 * @param facts of the file's takes, in the order of time
 * @returns one answer a take
 */
export function falseStarts(facts: readonly TakeFacts[]): boolean[] {
  return facts.map((take, t) => {
    const next = facts[t + 1];
    return next !== undefined && !isWhole(take) && isWhole(next) && isSameLevel(take, next);
  });
}

export function falseStartNote({ takeStartSeconds }: TakeFacts): Reason {
  return { code: 'track begun anew', atSeconds: takeStartSeconds };
}

function isWhole({ clockPpm, missingSections }: TakeFacts): boolean {
  return clockPpm !== null && missingSections.length === 0;
}

function isSameLevel(one: TakeFacts, other: TakeFacts): boolean {
  return one.channels.every(({ levelDbFs }, i) => {
    const theirs = other.channels[i].levelDbFs;
    return levelDbFs === null || theirs === null
      ? levelDbFs === theirs
      : Math.abs(levelDbFs - theirs) <= SAME_LEVEL_DB;
  });
}
