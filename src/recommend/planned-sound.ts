import type { Output } from '../model/equipment.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import { type BassReach, bassReach } from './bass/bass-reach.ts';
import type { Restoration, RestorationPlan } from './bass/restoration.ts';
import { stoppedBy } from './bass/stopped-by.ts';
import { type FeedWithTone, withTone } from './chain/knob-tone.ts';
import { solvedFeed } from './chain/solved-feed.ts';
import type { Feed } from './feeds/feed.ts';
import { crossoverFilters } from './filters/crossover-filters.ts';
import { equalizerDb, equalizers } from './filters/equalizer.ts';
import type { Pad } from './install/pad.ts';
import type { StraightFeeds } from './install/straight-feeds.ts';
import type { PlanContext } from './plan-context.ts';
import { type Delay, lagOf } from './seat/feed-delays.ts';

/** Every output with what shapes its sound: equaliser, filters, restoration, and how deep the woofer reaches with them. */
export interface PlannedSound {
  readonly equalizing: ReturnType<typeof equalizers>;
  readonly solved: readonly FeedWithTone[];
  readonly filters: ReturnType<typeof crossoverFilters>;
  readonly reach: BassReach | null;
  readonly restoration: Restoration | null;
}

export interface ToSound {
  readonly feeds: readonly Feed[];
  readonly restoring: RestorationPlan | null;
  readonly setting: number | null;
  readonly delay: Delay | null;
  readonly straight: StraightFeeds;
  readonly pad: Pad | null;
}

export function plannedSound(context: PlanContext, to: ToSound): PlannedSound {
  const { feeds, restoring, delay } = to;
  const waitsSeconds = (feed: Feed) => lagOf(context, delay, feed);
  const equalizing = equalizers(context, feeds);
  const solved = solvedOutputs(context, {
    ...to,
    equalizing,
    filters: crossoverFilters(context, { feeds, reach: undefined, waitsSeconds }),
  });
  const [openReach] = bassReach(context, solved);
  const filters = crossoverFilters(context, { feeds, reach: openReach, waitsSeconds });
  // One that the part does not have takes nothing away.
  const highPass =
    filters.find(
      ({ output, type, shortfall }) => output === 'subwoofer' && type === 'high-pass' && shortfall === null,
    ) ?? null;
  const [reach] = bassReach(context, solved, highPass);
  const chain = solved.find(({ output }) => output === 'subwoofer');
  return {
    equalizing,
    solved,
    filters,
    reach: reach ?? null,
    restoration: restoring === null ? null : stoppedBy(restoring.recommendation, { chain, reach }),
  };
}

/** Each output solved by itself, before the limits of all are put together. */
function solvedOutputs(
  context: PlanContext,
  of: ToSound & Pick<PlannedSound, 'equalizing' | 'filters'>,
): FeedWithTone[] {
  const { feeds, setting, restoring, equalizing, filters, straight, pad } = of;
  return outputsOf(feeds).flatMap((output) => {
    const one = solvedFeed(context, {
      output,
      feeds: feeds.filter((feed) => feed.output === output),
      setting: setting ?? context.session.settings.at(-1)!,
      boostDb: (output === 'subwoofer' && setting !== null ? restoring?.boostDb(setting) : null) ?? flat(),
      equalizerDb: equalizerDb(equalizing, output),
      filters: filters.filter((filter) => filter.output === output && filter.state !== 'open'),
      direct: straight.get(output) ?? null,
      padDb: pad === null || straight.has(output) ? 0 : -pad.lossDb,
    });
    return one === null ? [] : [withTone(context, one)];
  });
}

function flat(): Float64Array {
  return new Float64Array(gridFrequencyHz.length);
}

function outputsOf(feeds: readonly Feed[]): Output[] {
  return [...new Set(feeds.map(({ output }) => output))];
}
