import type { Estimate } from './level-profile.ts';

/** What ratios between takes of one microphone can prove of the bass, before anything is opened. */
export type Screening =
  | {
      readonly answer: 'cannot tell';
      readonly why: 'one setting' | 'no bass heard' | 'too noisy' | 'bass rises';
    }
  /** Bass keeps up with the volume, over these settings. */
  | { readonly answer: 'no'; readonly settings: readonly [number, number]; readonly withinDb: number }
  | {
      /** `either`: it falls from the lowest setting on only, as a lift at low volume does too. */
      readonly answer: 'yes' | 'either';
      readonly between: readonly [number, number];
      readonly atHz: number;
      /** At the highest setting against the lowest, decibels above zero. */
      readonly lostDb: number;
      readonly settings: readonly [number, number];
    };

/** People, doors and a phone that shifts change a seat's bass by about a decibel (common practice); twice that is the radio's. */
const SEEN_DB = 2;
/** A 'no' that leaves room for more than this says nothing that a quote could rest on (the tool's own limit). */
const MOST_SEEN_DB = 4;
/** A level is believed to this many standard deviations. */
const SIGMAS = 3;

/** Bass against the middle at a setting, one for each frequency; null where it is not trusted. */
interface ScreenedTake {
  readonly setting: number;
  readonly relative: readonly (Estimate | null)[];
}

/** @param takes in the order of their settings, from low to high */
export function screening(takes: readonly ScreenedTake[], frequenciesHz: readonly number[]): Screening {
  if (takes.length < 2) return { answer: 'cannot tell', why: 'one setting' };
  const heard = frequenciesHz.flatMap((hz, f) => {
    const levels = takes.flatMap(({ relative }) => relative[f] ?? []);
    return levels.length === takes.length ? [{ hz, levels }] : [];
  });
  if (heard.length === 0) return { answer: 'cannot tell', why: 'no bass heard' };
  const settings = [takes[0].setting, takes[takes.length - 1].setting] as const;
  const worst = heard.reduce((most, one) => (change(one.levels) < change(most.levels) ? one : most));
  const falls = steps(worst.levels).map((step) => step < -seenDb(worst.levels));
  const lostDb = -change(worst.levels);
  if (lostDb > seenDb(worst.levels)) {
    // Where it creeps down, no single step shows it: it began with the largest.
    const all = steps(worst.levels);
    const first = falls.includes(true) ? falls.indexOf(true) : all.indexOf(Math.min(...all));
    const fallsOn = falls.slice(first + 1).includes(true);
    return {
      answer: first === 0 && !fallsOn ? 'either' : 'yes',
      between: [takes[first].setting, takes[first + 1].setting],
      atHz: worst.hz,
      lostDb,
      settings,
    };
  }
  if (heard.some(({ levels }) => change(levels) > seenDb(levels)))
    return { answer: 'cannot tell', why: 'bass rises' };
  const withinDb = Math.min(...heard.map(({ levels }) => seenDb(levels)));
  return withinDb > MOST_SEEN_DB
    ? { answer: 'cannot tell', why: 'too noisy' }
    : { answer: 'no', settings, withinDb };
}

function change(levels: readonly Estimate[]): number {
  return levels[levels.length - 1].value - levels[0].value;
}

function steps(levels: readonly Estimate[]): number[] {
  return levels.slice(1).map(({ value }, i) => value - levels[i].value);
}

function seenDb(levels: readonly Estimate[]): number {
  return Math.max(SEEN_DB, SIGMAS * Math.SQRT2 * Math.max(...levels.map(({ sigma }) => sigma)));
}
