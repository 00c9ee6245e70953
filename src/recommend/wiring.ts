import { type RestorationPlan, restorationPlan } from './bass/restoration.ts';
import { type HighestClean, highestCleanSetting } from './chain/highest-clean-setting.ts';
import { allFeeds } from './feeds/all-feeds.ts';
import type { Feed } from './feeds/feed.ts';
import type { PlanContext } from './plan-context.ts';

/** What feeds what, and up to which setting. */
export interface Wiring {
  readonly feeds: readonly Feed[];
  /** All that a feed uses, each once. */
  readonly tapIds: readonly string[];
  readonly clean: HighestClean;
  /** Of the subwoofer's feed; null without one. */
  readonly restoring: RestorationPlan | null;
  /** That gains are for; null where none is clean. */
  readonly setting: number | null;
}

export function wiringOf(context: PlanContext): Wiring {
  const feeds = allFeeds(context);
  const sub = feeds.find(({ output }) => output === 'subwoofer') ?? null;
  const tapIds = [...new Set(feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)))];
  const clean = highestCleanSetting(context, tapIds);
  const restoring = sub === null ? null : restorationPlan(context, sub, clean);
  const setting = restoring?.recommendation.holdsUpToSetting ?? clean.recorded;
  return { feeds, tapIds, clean, restoring, setting };
}
