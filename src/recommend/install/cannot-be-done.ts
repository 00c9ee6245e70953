import { findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import { reasonText } from '../../words/reason-text.ts';
import type { Restoration } from '../bass/restoration.ts';
import { MOST_RESTORATION_DB } from '../bass/restoration-limit.ts';
import { noBassSource } from '../feeds/bass-source.ts';
import type { Feed } from '../feeds/feed.ts';
import { isSubwooferWanted } from '../feeds/subwoofer-wanted.ts';
import type { GainChain } from '../gains/gain-chain.ts';
import type { HighestClean } from '../gains/highest-clean-setting.ts';
import { limitsOfParts } from '../gains/limits-of-parts.ts';
import { idsOf, limitersOn, type PlanContext } from '../plan-context.ts';
import type { Order } from './order-sheet.ts';

type CannotBeDone = RecommendationOf<'cannot-be-done'>;
/** What is said of one limit. */
export type Limit = Pick<CannotBeDone, 'wanted' | 'bindingLimit' | 'nearest' | 'otherClass' | 'restsOn'>;

/** A sum that dips deeper than this is no full-range feed (common practice). */
const WORST_DIP_DB = -6;

/** What the car or the parts do not allow: which limit binds, the nearest that can be had, what else would do it. */
export function cannotBeDone(
  context: PlanContext,
  plan: {
    readonly feeds: readonly Feed[];
    readonly clean: HighestClean;
    readonly restoration: Restoration | null;
    readonly order: Order;
    readonly chains: readonly GainChain[];
  },
): CannotBeDone[] {
  const items = [
    ...noCleanSetting(plan.clean),
    ...noBass(context),
    ...notInFull(plan.restoration),
    ...heldByLimiter(context, plan.feeds),
    ...cancelling(plan.feeds),
    ...shortOf(plan.order),
    ...plan.chains.flatMap(limitsOfParts),
    ...fixedLevel(context),
  ];
  return items.map((item, i) => ({
    kind: 'cannot-be-done',
    id: `cannot-be-done-${i + 1}`,
    order: 0,
    reasons: [],
    ...item,
  }));
}

function noCleanSetting({ recorded, basis, firstClippingRecorded, restsOn }: HighestClean): Limit[] {
  if (recorded !== null || firstClippingRecorded === null) return [];
  return [
    {
      wanted: 'a clean setting for full-scale programme',
      bindingLimit: `every recorded setting clips (${basis})`,
      nearest: 'turn the tone controls down, or record lower settings',
      otherClass: null,
      restsOn,
    },
  ];
}

function noBass(context: PlanContext): Limit[] {
  const none = isSubwooferWanted(context) ? noBassSource(context) : null;
  if (none === null) return [];
  return [
    {
      wanted: 'a subwoofer from these outputs',
      bindingLimit: reasonText(none),
      nearest: 'the main speakers alone; no gain, filter or polarity is given for a subwoofer',
      otherClass:
        'another source with bass in it: another output, the line output, a digital output, or ahead of the processor',
      restsOn: idsOf(findingsOf(context.findings, 'band')),
    },
  ];
}

function notInFull(restoration: Restoration | null): Limit[] {
  if (restoration === null || restoration.limitedBy === 'nothing') return [];
  const { limitedBy, amountDb, toSetting, restsOn } = restoration;
  const missing = -Math.min(0, ...(restoration.settings.at(-1)?.residualDb ?? []));
  return [
    {
      wanted: 'the bass restored in full up to the highest clean setting',
      bindingLimit: limitedBy === '12 dB' ? `more than ${MOST_RESTORATION_DB} dB of boost` : limitedBy,
      nearest:
        missing > 0
          ? `${amountDb.toFixed(1)} dB; up to ${missing.toFixed(1)} dB stay missing at setting ${toSetting}`
          : NEAREST_WITH[limitedBy],
      otherClass: OTHER_CLASS_FOR[limitedBy],
      restsOn,
    },
  ];
}

type LimitedBy = Exclude<Restoration['limitedBy'], 'nothing'>;

const NEAREST_WITH: Readonly<Record<LimitedBy, string>> = {
  'the converter': 'what it gives',
  '12 dB': 'what is left of it, at a lower setting',
  headroom: 'the boost in full, at less level than the amplifier could give',
  'cone travel': 'the boost in full at lower levels, and a high-pass where the cones run out of travel',
};

const OTHER_CLASS_FOR: Readonly<Record<LimitedBy, string | null>> = {
  'the converter': `a summing converter with ${MOST_RESTORATION_DB} dB of restoration`,
  '12 dB': null,
  headroom: 'a converter with more gain',
  'cone travel': 'a woofer with more cone area or travel',
};

function heldByLimiter(context: PlanContext, feeds: readonly Feed[]): Limit[] {
  const sub = feeds.find(({ output }) => output === 'subwoofer');
  const limiters =
    sub === undefined
      ? []
      : limitersOn(
          context,
          sub.taps.map(({ tapId }) => tapId),
        );
  return limiters.map(({ id, tapIds, perSetting }) => {
    const lowest = perSetting.flatMap(({ thresholdDriveDbFs: drive }) =>
      isNotMeasurable(drive) ? [] : [drive.value],
    );
    return {
      wanted: `full bass from ${tapIds.join(' and ')} at high settings`,
      bindingLimit: 'the radio’s limiter: a boost behind it brings back level but not what it holds',
      nearest:
        lowest.length === 0
          ? 'play below the level at which it sets in'
          : `it is inactive below ${Math.min(...lowest).toFixed(0)} dBFS of bass at the loudest recorded setting`,
      otherClass: null,
      restsOn: [id],
    };
  });
}

function cancelling(feeds: readonly Feed[]): Limit[] {
  return feeds.flatMap(({ programmes, side, output, restsOn }) => {
    const sound = programmes?.[side];
    if (sound === undefined || sound.worstDipDb > WORST_DIP_DB) return [];
    return [
      {
        wanted: `an even feed for ${output}${side === 'both' ? '' : ` ${side}`}`,
        bindingLimit: `the taps work against each other: ${(-sound.worstDipDb).toFixed(1)} dB at ${Math.round(sound.worstDipHz)} Hz`,
        nearest: 'the feed as listed',
        otherClass: 'a digital processor with delay',
        restsOn,
      },
    ];
  });
}

function shortOf({ given, converterClass, restsOn }: Order): Limit[] {
  return (given?.shortfalls ?? []).map((shortfall) => ({
    wanted: `the plan with ${given!.name}`,
    bindingLimit: shortfall,
    nearest: 'what it can do is listed with each setting',
    otherClass: converterClass === 'none' ? null : converterClass,
    restsOn,
  }));
}

function fixedLevel({ findings }: PlanContext): Limit[] {
  return findingsOf(findings, 'volume-law')
    .filter(({ followsVolume }) => !followsVolume)
    .map(({ tapIds, ...finding }) => ({
      wanted: `volume control on ${tapIds.join(' and ')}`,
      bindingLimit: 'this tap does not follow the volume',
      nearest: 'use it with a level control of its own; chimes and prompts become loud through it',
      otherClass: null,
      restsOn: idsOf([{ tapIds, ...finding }]),
    }));
}
