import { decibels } from '../../dsp/decibels.ts';
import type { Chain } from '../../model/chain.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { codeOf, type Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Restoration } from '../bass/restoration.ts';
import { MOST_RESTORATION_DB } from '../bass/restoration-limit.ts';

/** A radio is usable where it stays clean up to a setting that people use (common practice: two thirds of the range). */
export const USED_RATIO = 2 / 3;
/** Noise nearer to full output than this is heard between tracks (common practice). */
const LEAST_NOISE_DISTANCE_DB = 60;

type Solved = Omit<Chain, 'verdict' | 'because'> & {
  readonly noSource: readonly Reason[];
  readonly restoration: Restoration | null;
  /** What keeps gains below the setting that was wanted. */
  readonly endedBy: Reason | null;
  readonly protections: readonly AdviceOf<'protection'>[];
  readonly bassBeginsAt: number | null;
  /** Feeds from outputs that do not follow the volume. */
  readonly keepLevel: readonly string[];
};

/** Whether the job can be done, and what is in the way or limits it; the heaviest first. */
export function verdictOf(solved: Solved): Pick<Chain, 'verdict' | 'because'> {
  const { noSource, bassBeginsAt, feeds } = solved;
  const noBass: Reason[] =
    bassBeginsAt === null ? [] : [{ code: 'no bass at any output', fromHz: bassBeginsAt }];
  const limits = [
    ...noBass,
    ...feeds.flatMap(({ noGains }) => noGains),
    ...tweeters(solved),
    ...(solved.keepLevel.length === 0
      ? []
      : [{ code: 'feed keeps its level' as const, outputs: [...solved.keepLevel] }]),
    ...early(solved),
    ...endOfRestoration(solved),
    ...(solved.endedBy === null ? [] : [solved.endedBy]),
    ...bassMatters(feeds).flatMap(({ conditions }) => conditions.filter(isALimit)),
    ...loudNoise(solved),
  ];
  const none = feeds.length > 0 && feeds.every(({ noGains }) => noGains.length > 0);
  const verdict =
    noSource.length > 0 || none ? 'not like this' : limits.length > 0 ? 'do it with limits' : 'do it';
  return { verdict, because: distinct([...noSource, ...limits]) };
}

/** A small driver that nobody protected yet burns with the first tone. */
function tweeters({ protections }: Solved): Reason[] {
  return protections
    .filter(({ answer }) => answer === 'ask')
    .map(({ output, byRadio, tapIds, highPass }) =>
      byRadio === false
        ? { code: 'tweeter without a filter', output }
        : { code: 'tweeter not protected yet', tapIds, notBelowHz: highPass.notBelowHz },
    );
}

function early({ volume }: Solved): Reason[] {
  const { setting, highestRecorded } = volume;
  return setting === null || setting >= USED_RATIO * highestRecorded
    ? []
    : [{ code: 'volume ends early', setting, highestRecorded }];
}

function endOfRestoration({ restoration, volume }: Solved): Reason[] {
  const setting = restoration?.holdsUpToSetting;
  return setting == null || volume.cleanSetting === null || setting >= volume.cleanSetting
    ? []
    : [{ code: 'restoration holds up to', setting, mostDb: MOST_RESTORATION_DB }];
}

/** Held bass is the subwoofer's loss where there is one: the mains leave it to it. */
function bassMatters(feeds: Chain['feeds']): Chain['feeds'] {
  if (!feeds.some(({ output }) => output === 'subwoofer')) return feeds;
  return feeds.map((feed) =>
    feed.output === 'subwoofer'
      ? feed
      : { ...feed, conditions: feed.conditions.filter((one) => codeOf(one) !== 'bass held by the limiter') },
  );
}

/** What somebody still has to look up is no limit of the car. */
function isALimit(condition: Reason): boolean {
  return (
    typeof condition !== 'string' &&
    (condition.code === 'bass held by the limiter' ||
      condition.code === 'amplifier not filled' ||
      condition.code === 'lowest load not noted')
  );
}

function loudNoise({ taps }: Solved): Reason[] {
  return taps.flatMap(({ tapId, inUse, noiseVoltsRms, voltsRms }): Reason[] => {
    if (!inUse || noiseVoltsRms === null || noiseVoltsRms <= 0 || isNotMeasurable(voltsRms)) return [];
    const belowFullOutputDb = decibels(voltsRms.value / noiseVoltsRms);
    return belowFullOutputDb < LEAST_NOISE_DISTANCE_DB
      ? [{ code: 'noise is high', tapId, belowFullOutputDb }]
      : [];
  });
}

function distinct(reasons: readonly Reason[]): Reason[] {
  return [...new Map(reasons.map((reason) => [JSON.stringify(reason), reason])).values()];
}
