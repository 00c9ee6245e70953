import { SteptoneError } from './errors.ts';
import type { Reason } from './reason.ts';

interface FileSettings {
  readonly file: string;
  readonly settings: readonly number[];
}

export interface SettingsOfFiles {
  readonly files: readonly FileSettings[];
  /** What had to be assumed, for the notes; null where the names say it all. */
  readonly doubt: Reason | null;
  /** Settings for which no file is named, where the names tell. */
  readonly missing: readonly number[];
}

/**
 * Which setting each file was recorded at, where nobody wrote it down: the numbers in the names where they are settings,
 * otherwise the natural order of the names. One file alone holds all settings in order. Files recorded later between the
 * planned settings are taken by the numbers in their names.
 *
 * @throws SteptoneError `settings` where names do not tell and the count of files is another than that of settings.
 */
export function settingsOfFiles({
  files,
  settings,
  where,
}: {
  files: readonly string[];
  settings: readonly number[];
  where: string;
}): SettingsOfFiles {
  const sorted = naturalOrder(files);
  const fromNames = matchByNumbers({ files: sorted, settings });
  if (fromNames !== undefined) {
    const missing = [...new Set(settings)].filter(
      (setting) => !fromNames.some((match) => match.settings[0] === setting),
    );
    const doubt: Reason | null =
      missing.length === 0 ? null : { code: 'settings by the names of files', missing };
    return { files: fromNames, doubt, missing };
  }
  if (sorted.length === 1) return { files: [{ file: sorted[0], settings }], doubt: null, missing: [] };
  if (sorted.length === settings.length) {
    const at = (i: number) => ({ file: sorted.at(i)!, setting: settings.at(i)! });
    const doubt: Reason = { code: 'settings by the order of names', first: at(0), last: at(-1) };
    return { files: sorted.map((file, i) => ({ file, settings: [settings[i]] })), doubt, missing: [] };
  }
  const beside = withMoreSettings({ files: sorted, settings });
  if (beside !== undefined) {
    const more = beside.flatMap((match) => match.settings.filter((one) => !settings.includes(one)));
    return {
      files: beside,
      doubt: { code: 'more settings in the names of files', settings: more },
      missing: [],
    };
  }
  throw new SteptoneError({
    code: 'settings',
    expected: `one WAV file for each of the ${settings.length} settings (${listed(settings)})`,
    found: `${sorted.length} ${sorted.length === 1 ? 'file' : 'files'} (${listed(sorted)}) without one setting in each name`,
    where,
    nextStep:
      'put the setting into each name (setting-10.wav), or list file, channels and settings in a session file',
  });
}

/** a2 before a10, whatever the capitals; the same on every machine. */
export function naturalOrder(files: readonly string[]): string[] {
  const collator = new Intl.Collator('en', { numeric: true, sensitivity: 'base' });
  return [...files].sort((a, b) => collator.compare(a, b) || (a < b ? -1 : a > b ? 1 : 0));
}

function matchByNumbers({
  files,
  settings,
}: {
  files: readonly string[];
  settings: readonly number[];
}): FileSettings[] | undefined {
  const numbers = files.map((file) => numbersIn(file).map((number) => asSetting({ number, settings })));
  const alike = new Set(files.map(skeleton)).size === 1;
  const chosen = alike ? bestColumn(numbers) : singleAndDistinct(numbers);
  return chosen?.map((setting, i) => ({ file: files[i], settings: [setting] }));
}

/**
 * Names that differ in their numbers only: the place in the name whose numbers are all settings, and the most different
 * ones. Two places that are as good and disagree tell nothing.
 */
function bestColumn(numbers: readonly (number | undefined)[][]): number[] | undefined {
  const columns = numbers[0]
    .map((_, place) => numbers.map((row) => row[place]))
    .filter((column): column is number[] => column.every((setting) => setting !== undefined))
    .map((column) => ({ column, distinct: new Set(column).size }))
    .sort((a, b) => b.distinct - a.distinct);
  const [best, second] = columns;
  if (best === undefined) return undefined;
  const disagree =
    second?.distinct === best.distinct && second.column.some((setting, i) => setting !== best.column[i]);
  return disagree ? undefined : best.column;
}

/** Names of several kinds: only where each holds exactly one setting, and no two the same. */
function singleAndDistinct(numbers: readonly (number | undefined)[][]): number[] | undefined {
  const found = numbers.map((row) => row.filter((setting) => setting !== undefined));
  const single = found.every((row) => row.length === 1);
  return single && new Set(found.flat()).size === found.length ? found.flat() : undefined;
}

/** At least this share of the numbers has to be planned settings, or they count something else (common practice). */
const LEAST_PLANNED_SHARE = 0.5;

/** Names that differ in one number only, most of which are planned settings and the others lie between them. */
function withMoreSettings({
  files,
  settings,
}: {
  files: readonly string[];
  settings: readonly number[];
}): FileSettings[] | undefined {
  if (settings.length < 2 || new Set(files.map(skeleton)).size !== 1) return undefined;
  const [lowest, highest] = [Math.min(...settings), Math.max(...settings)];
  const rows = files.map(numbersIn);
  const columns = rows[0].map((_, place) => rows.map((row) => row[place]));
  const varying = columns.filter((column) => new Set(column).size > 1);
  if (varying.length !== 1) return undefined;
  const [column] = varying;
  const planned = column.filter((number) => settings.includes(number)).length;
  const between = column.every((number) => number >= lowest && number <= highest);
  return between && planned >= LEAST_PLANNED_SHARE * column.length
    ? files.map((file, i) => ({ file, settings: [column[i]] }))
    : undefined;
}

/** A dash before a number is usually a dash, so that a radio with negative settings is met by the number alone. */
function asSetting({
  number,
  settings,
}: {
  number: number;
  settings: readonly number[];
}): number | undefined {
  return [number, -number].find((candidate) => settings.includes(candidate));
}

function numbersIn(file: string): number[] {
  return (stem(file).match(NUMBERS) ?? []).map(Number);
}

function skeleton(file: string): string {
  return stem(file).toLowerCase().replace(NUMBERS, '#');
}

const NUMBERS = /\d+(?:\.\d+)?/g;

function stem(file: string): string {
  return file.replace(/^.*\//, '').replace(/\.[^.]*$/, '');
}

function listed(items: readonly (string | number)[]): string {
  const MOST_SHOWN = 6;
  const shown = items.slice(0, MOST_SHOWN).join(', ');
  return items.length > MOST_SHOWN ? `${shown}, ... (${items.length} in all)` : shown;
}
