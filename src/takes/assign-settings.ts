import { mean } from '../dsp/statistics.ts';
import type { Reason } from '../model/reason.ts';

/** Level of one take of a file, in order of time. */
interface TakeLevel {
  readonly startSeconds: number;
  /** Any level of the same tap and programme in every take, decibels; null where nothing was heard. */
  readonly levelDb: number | null;
  /** The level was not steady within the take, so that it tells nothing about the setting. */
  readonly unsteady: boolean;
}

export interface KnownLevel {
  readonly setting: number;
  readonly levelDb: number;
}

export interface AssignedSettings {
  /** One a take; null where the take was recorded at none of the session's settings. */
  readonly settings: readonly (number | null)[];
  /** What had to be assumed, or null where the session's order simply fits. */
  readonly doubt: Reason | null;
}

/** Why the takes of a file cannot be given settings. */
interface UnclearSettings {
  readonly unclear: Reason;
}

/** Repeats at one setting agree this well; the smallest step of a radio's volume is about 0.5 dB (common practice). */
const SAME_LEVEL_DB = 0.3;
/** A setting that is higher and a level that is lower by this contradict each other. */
const CONTRADICTION_DB = 0.5;
/** Takes at one stated setting that differ by this were not at one setting. */
const DIFFERENT_LEVEL_DB = 1;
/** One reading of the levels counts where it misses them by less than this (RMS), and the next best by clearly more. */
const FITTING_DB = 1;
const CLEARER_BY_DB = 0.3;
const CLEARER_FACTOR = 3;

/**
 * Gives each take of a file its setting: the session's order where the count fits and the levels do not contradict it,
 * otherwise by level, which rises with the setting. Levels that are known from other recordings of the same tap decide
 * where there are some; without them the levels must lie on a straight line in decibels over the settings.
 *
 * @param planned the settings of the file in the order written
 */
export function assignSettings(of: {
  takes: readonly TakeLevel[];
  planned: readonly number[];
  known?: readonly KnownLevel[] | undefined;
}): AssignedSettings | UnclearSettings {
  const { takes, planned, known = [] } = of;
  if (planned.length === 1) return oneSetting(takes, planned[0]);
  const countFits = takes.length === planned.length;
  if (countFits && !contradicts(takes, planned))
    return { settings: planned, doubt: equalLevels(takes, planned) };
  if (takes.some(({ unsteady }) => unsteady)) return { unclear: { code: 'level not steady within a take' } };
  const steps = levelSteps(levelsOf(takes));
  const settings = [...new Set(planned)].sort((a, b) => a - b);
  const knownSettings = new Set(known.map(({ setting }) => setting));
  const reading =
    knownSettings.size >= 2 ? byKnownLevels({ steps, settings, known }) : byLine({ steps, settings });
  if ('code' in reading) return { unclear: reading };
  const assigned = takes.map(({ levelDb }) => (levelDb === null ? null : reading[stepOf(steps, levelDb)]));
  return { settings: assigned, doubt: matchedByLevel({ takes, planned, assigned, countFits }) };
}

/** Every take of a file with one setting is a repeat at it. */
function oneSetting(takes: readonly TakeLevel[], setting: number): AssignedSettings {
  const levels = levelsOf(takes);
  const spreadDb = Math.max(...levels) - Math.min(...levels);
  return {
    settings: takes.map(() => setting),
    doubt:
      spreadDb > DIFFERENT_LEVEL_DB
        ? { code: 'takes of one setting differ', setting, takes: takes.length, spreadDb }
        : null,
  };
}

/** Whether a level falls where the setting rises, or the other way round. */
function contradicts(takes: readonly TakeLevel[], planned: readonly number[]): boolean {
  return takes.some((take, i) =>
    takes.some((other, j) => planned[j] > planned[i] && isLower(other.levelDb, take.levelDb)),
  );
}

/** Of two takes, silence is the lower. */
function isLower(one: number | null, other: number | null): boolean {
  return other !== null && (one === null || one < other - CONTRADICTION_DB);
}

function levelsOf(takes: readonly TakeLevel[]): number[] {
  return takes.flatMap(({ levelDb }) => levelDb ?? []);
}

function equalLevels(takes: readonly TakeLevel[], planned: readonly number[]): Reason | null {
  const levels = takes.map(({ levelDb }) => levelDb);
  const isSame = (one: number | null, other: number | null) =>
    one === null || other === null ? one === other : Math.abs(one - other) <= SAME_LEVEL_DB;
  const heard = levelsOf(takes);
  if (heard.length === takes.length && isSame(Math.max(...heard), Math.min(...heard))) return null; // a tap of fixed level
  const i = takes.findIndex(
    ({ levelDb }, at) => at > 0 && planned[at] !== planned[at - 1] && isSame(levelDb, levels[at - 1]),
  );
  return i < 0 ? null : { code: 'two settings of one level', settings: [planned[i - 1], planned[i]] };
}

interface LevelStep {
  readonly levelDb: number;
}

/** Levels at which there are takes, ascending; repeats are one. */
function levelSteps(levels: readonly number[]): LevelStep[] {
  const sorted = [...levels].sort((a, b) => a - b);
  const groups: number[][] = [];
  for (const level of sorted) {
    const group = groups.at(-1);
    if (group !== undefined && level - group[0] <= SAME_LEVEL_DB) group.push(level);
    else groups.push([level]);
  }
  return groups.map((group) => ({ levelDb: mean(group) }));
}

function stepOf(steps: readonly LevelStep[], levelDb: number): number {
  return steps.reduce(
    (best, step, i) =>
      Math.abs(step.levelDb - levelDb) < Math.abs(steps[best].levelDb - levelDb) ? i : best,
    0,
  );
}

/** A setting for each step of level, or null for none. */
type Reading = readonly (number | null)[];

function byKnownLevels(of: {
  steps: readonly LevelStep[];
  settings: readonly number[];
  known: readonly KnownLevel[];
}): Reading | Reason {
  const known = of.known
    .filter(({ setting }, i) => of.known.findIndex((one) => one.setting === setting) === i)
    .sort((a, b) => a.setting - b.setting);
  const expected = of.settings.map((setting) => ({ setting, levelDb: levelAt(known, setting) }));
  const reading = of.steps.map(({ levelDb }) => {
    const nearest = expected.reduce((a, b) =>
      Math.abs(b.levelDb - levelDb) < Math.abs(a.levelDb - levelDb) ? b : a,
    );
    return Math.abs(nearest.levelDb - levelDb) <= FITTING_DB ? nearest.setting : null;
  });
  const given = reading.filter((setting) => setting !== null);
  if (given.length === 0) return { code: 'no level is that of a setting' };
  return new Set(given).size === given.length ? reading : { code: 'two levels for one setting' };
}

/** Straight lines between known settings, and on beyond them. */
function levelAt(known: readonly KnownLevel[], setting: number): number {
  const above = known.findIndex((one) => one.setting >= setting);
  const i = Math.min(known.length - 1, Math.max(1, above < 0 ? known.length - 1 : above));
  const [low, high] = [known[i - 1], known[i]];
  return (
    low.levelDb + ((high.levelDb - low.levelDb) * (setting - low.setting)) / (high.setting - low.setting)
  );
}

/** As many levels as settings pair in order; otherwise the pairing whose levels lie best on a line, if no other comes near. */
function byLine(of: { steps: readonly LevelStep[]; settings: readonly number[] }): Reading | Reason {
  const { steps, settings } = of;
  if (steps.length === settings.length) return settings;
  const [fewer, more] =
    steps.length < settings.length ? [steps.length, settings.length] : [settings.length, steps.length];
  const counts = { levels: steps.length, settings: settings.length };
  if (fewer < 3) return { code: 'too few levels', ...counts };
  if (choiceCount(more, fewer) > MOST_CHOICES) return { code: 'too many pairings', ...counts };
  const levels = steps.map(({ levelDb }) => levelDb);
  const readings = choices(more, fewer).map((chosen) =>
    steps.length < settings.length
      ? {
          reading: chosen.map((i) => settings[i]),
          misfitDb: misfitDb(
            chosen.map((i) => settings[i]),
            levels,
          ),
        }
      : {
          reading: levels.map((_, i) => (chosen.includes(i) ? settings[chosen.indexOf(i)] : null)),
          misfitDb: misfitDb(
            settings,
            chosen.map((i) => levels[i]),
          ),
        },
  );
  const [best, second] = readings.sort((a, b) => a.misfitDb - b.misfitDb);
  if (best.misfitDb > FITTING_DB) return { code: 'no even volume law' };
  if (second !== undefined && second.misfitDb < CLEARER_FACTOR * best.misfitDb + CLEARER_BY_DB)
    return { code: 'levels fit two readings', one: [...best.reading], other: [...second.reading] };
  return best.reading;
}

/** With more pairings than this (12 of 17) some two always fit alike. */
const MOST_CHOICES = 6200;

function choiceCount(from: number, count: number): number {
  let product = 1;
  for (let i = 1; i <= count; i++) product *= (from - count + i) / i;
  return product;
}

/** Every way to choose `count` of `from` places, ascending. */
function choices(from: number, count: number): number[][] {
  const all: number[][] = [];
  const extend = (chosen: number[], next: number): void => {
    if (chosen.length === count) {
      all.push(chosen);
      return;
    }
    for (let i = next; i <= from - (count - chosen.length); i++) extend([...chosen, i], i + 1);
  };
  extend([], 0);
  return all;
}

/** RMS distance of levels from their own straight line over the settings; a line that falls does not count. */
function misfitDb(settings: readonly number[], levels: readonly number[]): number {
  const [meanSetting, meanLevel] = [mean(settings), mean(levels)];
  const along = settings.reduce(
    (sum, setting, i) => sum + (setting - meanSetting) * (levels[i] - meanLevel),
    0,
  );
  const slope = along / settings.reduce((sum, setting) => sum + (setting - meanSetting) ** 2, 0);
  if (!(slope > 0)) return Number.POSITIVE_INFINITY;
  const squares = settings.map(
    (setting, i) => (levels[i] - meanLevel - slope * (setting - meanSetting)) ** 2,
  );
  return Math.sqrt(mean(squares));
}

function matchedByLevel(of: {
  takes: readonly TakeLevel[];
  planned: readonly number[];
  assigned: readonly (number | null)[];
  countFits: boolean;
}): Reason {
  const { takes, planned, assigned, countFits } = of;
  return {
    code: 'matched by level',
    planned: [...planned],
    countFits,
    takes: takes.map(({ startSeconds }, i) => ({ setting: assigned[i], atSeconds: startSeconds })),
  };
}
