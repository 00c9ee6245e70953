import type { Chain } from '../../model/chain.ts';
import { findingsOf } from '../../model/finding.ts';
import { codeOf, type Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Restoration } from '../bass/restoration.ts';
import { MOST_RESTORATION_DB } from '../bass/restoration-limit.ts';
import type { HighestClean } from '../chain/highest-clean-setting.ts';
import { bassBeginsAt } from '../chain/usable-source.ts';
import type { Feed } from '../feeds/feed.ts';
import { idsOf, type PlanContext } from '../plan-context.ts';
import type { Order } from './order-sheet.ts';

type CannotBeDone = AdviceOf<'cannot-be-done'>;
/** What is said of one limit. */
type Limit = Pick<CannotBeDone, 'wanted' | 'bindingLimit' | 'nearest' | 'otherClass' | 'restsOn'>;

/** A sum that dips deeper than this is no full-range feed (common practice). */
const WORST_DIP_DB = -6;
/** Where bands overlap far, what cancels may be what keeps the sum even: so even is no dip (common practice). */
const EVEN_DB = 3;

/** What the car or the parts do not allow: which limit binds, the nearest that can be had, what else would do it. */
export function cannotBeDone(
  context: PlanContext,
  plan: {
    readonly feeds: readonly Feed[];
    readonly clean: HighestClean;
    readonly restoration: Restoration | null;
    readonly order: Order;
    readonly chain: Chain;
  },
): CannotBeDone[] {
  const items = [
    ...notInFull(plan.restoration, plan.order),
    ...cancelling(plan.feeds),
    ...shortOf(plan.order),
    ...limitsOfChain(plan.chain),
    ...fixedLevel(context),
    ...wooferAlone(context),
    ...withoutOutput(context, plan.feeds),
    ...withoutBassPair(context, plan.feeds),
  ];
  return items.map((item, i) => ({
    kind: 'cannot-be-done',
    id: `cannot-be-done-${i + 1}`,
    reasons: [],
    ...item,
  }));
}

function notInFull(restoration: Restoration | null, { given }: Order): Limit[] {
  if (restoration === null || restoration.limitedBy === 'nothing') return [];
  // The order says so of the part that is given.
  if (given?.shortfalls.some((one) => codeOf(one) === 'too little restoration')) return [];
  // The chain says up to which setting it holds.
  if (restoration.limitedBy === '12 dB' && restoration.holdsUpToSetting != null) return [];
  const { limitedBy, amountDb, toSetting, restsOn } = restoration;
  const missing = -Math.min(0, ...(restoration.settings.at(-1)?.residualDb ?? []));
  return [
    {
      wanted: { code: 'bass restored in full' },
      bindingLimit: { code: 'restoration is limited by', limitedBy, mostDb: MOST_RESTORATION_DB },
      nearest:
        missing > 0 && toSetting !== null
          ? { code: 'bass that stays missing', amountDb, missingDb: missing, setting: toSetting }
          : { code: 'nearest restoration', limitedBy },
      otherClass:
        limitedBy === '12 dB'
          ? null
          : { code: 'a part that restores more', limitedBy, mostDb: MOST_RESTORATION_DB },
      restsOn,
    },
  ];
}

/** What the solved chain cannot give: gains that must not be set, and limits that bind before the plan does. */
function limitsOfChain({ feeds, because }: Chain): Limit[] {
  const withoutGains = feeds.filter(({ noGains }) => noGains.length > 0);
  const reasons = new Map<string, { reason: Reason; outputs: string[] }>();
  for (const { output, noGains } of withoutGains)
    for (const reason of noGains) {
      const key = JSON.stringify(reason, roughly);
      const known = reasons.get(key) ?? { reason, outputs: [] };
      reasons.set(key, { reason, outputs: [...known.outputs, output] });
    }
  return [
    ...Array.from(
      reasons.values(),
      ({ reason, outputs }): Limit => ({
        wanted: { code: 'gains for', outputs },
        bindingLimit: reason,
        nearest: { code: 'no gains until then' },
        otherClass: null,
        restsOn: [],
      }),
    ),
    ...because.flatMap((reason): Limit[] => {
      if (!LIMITS.has(reason.code)) return [];
      return [
        {
          wanted: { code: WANTED_OF[reason.code] ?? 'the plan in full' },
          bindingLimit: reason,
          nearest: { code: 'what the sheets list' },
          otherClass: null,
          restsOn: [],
        },
      ];
    }),
  ];
}

/** Outputs of one kind differ in the last digits: they are told together, with the figures of the first. */
function roughly(_name: string, value: unknown): unknown {
  return typeof value === 'number' ? value.toPrecision(2) : value;
}

const LIMITS = new Set<string>([
  'no bass at any output',
  'bass held by the limiter',
  'amplifier not filled',
  'restoration holds up to',
]);
const WANTED_OF: Partial<Record<string, 'full bass at high settings' | 'the amplifier’s full power'>> = {
  'bass held by the limiter': 'full bass at high settings',
  'restoration holds up to': 'full bass at high settings',
  'amplifier not filled': 'the amplifier’s full power',
};

function cancelling(feeds: readonly Feed[]): Limit[] {
  return feeds.flatMap(({ programmes, side, output, restsOn }): Limit[] => {
    const sound = programmes?.[side];
    if (sound === undefined || sound.worstDipDb > WORST_DIP_DB || sound.rippleDb < EVEN_DB) return [];
    return [
      {
        wanted: { code: 'an even feed for', output, side },
        bindingLimit: {
          code: 'taps work against each other',
          dipDb: -sound.worstDipDb,
          hz: sound.worstDipHz,
        },
        nearest: { code: 'the feed as listed' },
        otherClass: { code: 'a digital processor with delay' },
        restsOn,
      },
    ];
  });
}

function shortOf({ given, converterClass, restsOn }: Order): Limit[] {
  return (given?.shortfalls ?? []).map(
    (shortfall): Limit => ({
      wanted: { code: 'the plan with', name: given!.name },
      bindingLimit: shortfall,
      nearest: { code: 'listed with each setting' },
      otherClass: converterClass === 'none' ? null : { code: 'a converter of the class', converterClass },
      restsOn,
    }),
  );
}

/** Bass that comes out on one side only feeds no subwoofer: half of the music would be missing. */
function withoutBassPair(context: PlanContext, feeds: readonly Feed[]): Limit[] {
  const asked = context.equipment?.amplifiers.some(({ feeds: fed }) => fed.includes('subwoofer')) ?? false;
  if (!asked || bassBeginsAt(context) !== null) return [];
  return feeds.some(({ output }) => output === 'subwoofer')
    ? []
    : [
        {
          wanted: { code: 'gains for', outputs: ['subwoofer'] },
          bindingLimit: { code: 'no pair carries bass' },
          nearest: { code: 'no gains until then' },
          otherClass: null,
          restsOn: idsOf(context.taps.flatMap(({ band }) => band ?? [])),
        },
      ];
}

/** Said, not guessed: nobody knows what is to drive it. */
function wooferAlone({ equipment }: PlanContext): Limit[] {
  const woofer = equipment?.woofer;
  if (woofer == null || equipment!.amplifiers.length === 0) return [];
  if (equipment!.amplifiers.some(({ feeds }) => feeds.includes('subwoofer'))) return [];
  return [
    {
      wanted: { code: 'gains for', outputs: ['subwoofer'] },
      bindingLimit: { code: 'no amplifier for the woofer', woofer: woofer.name },
      nearest: { code: 'what the sheets list' },
      otherClass: null,
      restsOn: [],
    },
  ];
}

/** Amplifier channels for speakers whose outputs nobody recorded, as where the radio feeds them by a digital line. */
function withoutOutput({ equipment, taps }: PlanContext, feeds: readonly Feed[]): Limit[] {
  const asked = new Set(equipment?.amplifiers.flatMap((amplifier) => amplifier.feeds) ?? []);
  const outputs = (['front', 'rear'] as const).filter(
    (output) =>
      asked.has(output) &&
      !feeds.some((feed) => feed.output === output) &&
      !taps.some((tap) => tap.output === output),
  );
  const others = taps.filter(({ band, unfit }) => !unfit && band?.verdict !== 'band-limited');
  return outputs.length === 0 || taps.length === 0
    ? []
    : [
        {
          wanted: { code: 'gains for', outputs: [...outputs] },
          bindingLimit: { code: 'no output recorded for it' },
          nearest: { code: 'record it or feed it from', tapIds: others.map(({ tapId }) => tapId) },
          otherClass: null,
          restsOn: idsOf(others.flatMap(({ band }) => band ?? [])),
        },
      ];
}

function fixedLevel({ findings }: PlanContext): Limit[] {
  const fixed = findingsOf(findings, 'volume-law').filter(({ followsVolume }) => !followsVolume);
  if (fixed.length === 0) return [];
  return [
    {
      wanted: { code: 'volume control on', tapIds: fixed.flatMap(({ tapIds }) => tapIds) },
      bindingLimit: { code: 'a level of its own' },
      nearest: { code: 'a level control of its own' },
      otherClass: null,
      restsOn: idsOf(fixed),
    },
  ];
}
