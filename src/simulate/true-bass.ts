import type { Scenario } from './scenario.ts';
import { volumeDependentFilters } from './tap-filters.ts';
import { filterResponse, levelDbOf, type TapAtSetting, tapOf } from './true-response.ts';

/** Settings of one plateau agree this well at PLATEAU_HZ. */
const PLATEAU_TOLERANCE_DB = 0.05;
const PLATEAU_HZ = 40;

/**
 * The settings between which the bass does not change: the largest group of settings that agree at 40 Hz; null where
 * no two do.
 */
export function truePlateau(scenario: Scenario, tapId: string): number[] | null {
  const settings = distinctSettings(scenario);
  const levels = settings.map((setting) =>
    volumeDependentDb(scenario, { tapId, setting, frequencyHz: PLATEAU_HZ }),
  );
  const groups = levels.map((level) =>
    settings.filter((_, i) => Math.abs(levels[i] - level) < PLATEAU_TOLERANCE_DB),
  );
  const largest = groups.reduce((best, group) => (group.length > best.length ? group : best), []);
  return largest.length < 2 ? null : largest;
}

/** Bass at a setting against the plateau, decibels, negative where it is lost; null without a plateau. */
export function trueBassChangeDb(
  scenario: Scenario,
  at: TapAtSetting & { frequencyHz: number },
): number | null {
  const plateau = truePlateau(scenario, at.tapId);
  if (plateau === null) return null;
  return volumeDependentDb(scenario, at) - volumeDependentDb(scenario, { ...at, setting: plateau[0] });
}

/** The two settings between which a loss first exceeds the threshold; null where none does. */
export function trueOnset(
  scenario: Scenario,
  { tapId, atHz, thresholdDb }: { tapId: string; atHz: number; thresholdDb: number },
): { lastIntact: number; firstChanged: number } | null {
  const plateau = truePlateau(scenario, tapId);
  if (plateau === null) return null;
  const from = distinctSettings(scenario).filter((setting) => setting >= plateau[0]);
  const first = from.findIndex((setting) => {
    const change = trueBassChangeDb(scenario, { tapId, setting, frequencyHz: atHz });
    return change !== null && change < -thresholdDb;
  });
  return first < 1 ? null : { lastIntact: from[first - 1], firstChanged: from[first] };
}

/** What the volume-dependent filters of a tap do at one frequency. */
function volumeDependentDb(
  scenario: Scenario,
  { tapId, setting, frequencyHz }: TapAtSetting & { frequencyHz: number },
): number {
  return levelDbOf(
    filterResponse(scenario, volumeDependentFilters(tapOf(scenario, tapId), setting))(frequencyHz),
  );
}

export function distinctSettings({ settings }: Scenario): number[] {
  return [...new Set(settings)].sort((one, other) => one - other);
}
