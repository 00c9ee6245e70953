import { listed } from '../../words/figures.ts';
import { fixed, formatSetting } from '../format.ts';
import type { CurveDb } from './curves.ts';

/**
 * Taps whose curves stay within half a decibel of each other are drawn once: below that a pair counts as equal when it
 * is recorded, too (common practice). What difference there is, is said beside the picture.
 */
export const SAME_CURVE_DB = 0.5;

/** Settings whose curves stay within this of each other cover one another: a line's width in a picture. */
const SAME_LINE_DB = 0.25;

/** Below this a curve is so steep or so near its noise that decibels apart are no distance in the picture. */
const IN_SIGHT_DB = -24;

/** Items in groups, each alike with the first of its group; groups in the order of their firsts. */
export function alikeGroups<Item>(
  items: readonly Item[],
  alike: (first: Item, other: Item) => boolean,
): [Item, ...Item[]][] {
  const groups: [Item, ...Item[]][] = [];
  for (const item of items) {
    const group = groups.find(([first]) => alike(first, item));
    if (group === undefined) groups.push([item]);
    else group.push(item);
  }
  return groups;
}

/** Largest distance between two curves where both are known and either is in sight; infinite where that is nowhere. */
export function apartDb(a: CurveDb, b: CurveDb): number {
  const distances = a.flatMap((here, i) => {
    const there = b[i];
    if (here === null || there === null || Math.max(here, there) < IN_SIGHT_DB) return [];
    return [Math.abs(here - there)];
  });
  return distances.length === 0
    ? Number.POSITIVE_INFINITY
    : distances.reduce((most, distance) => Math.max(most, distance), 0);
}

interface SettingCurve {
  readonly settings: readonly number[];
  readonly curve: CurveDb;
}

/** Neighbouring settings whose curves cover one another, drawn as one: that of the highest, the most trusted. */
export function mergedSettings(
  curves: readonly { readonly setting: number; readonly curve: CurveDb }[],
): SettingCurve[] {
  const merged: { settings: number[]; first: CurveDb; curve: CurveDb }[] = [];
  for (const { setting, curve } of curves) {
    const last = merged.at(-1);
    if (last !== undefined && apartDb(last.first, curve) < SAME_LINE_DB) {
      last.settings.push(setting);
      last.curve = curve;
    } else merged.push({ settings: [setting], first: curve, curve });
  }
  return merged;
}

/** "setting 26", "settings 10 to 22". */
export function settingSpan(settings: readonly number[]): string {
  const [first] = settings;
  const last = settings[settings.length - 1];
  return first === last
    ? `setting ${formatSetting(first)}`
    : `settings ${formatSetting(first)} to ${formatSetting(last)}`;
}

/** Says for whom a picture is drawn and how near the others are; nothing where there are no others. */
export function twinsText([drawn, ...others]: readonly string[], mostApartDb: number): string {
  if (others.length === 0) return '';
  const verb = others.length === 1 ? 'lies' : 'lie';
  return ` Drawn for ${drawn}; ${listed(others)} ${verb} within ${withinDb(mostApartDb)}.`;
}

function withinDb(db: number): string {
  return `${fixed(Math.max(0.1, Math.ceil(db * 10) / 10), 1)} dB`;
}
