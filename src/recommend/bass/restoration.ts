import { loneLossOf } from '../../findings/bass/lone-loss.ts';
import type { Converter } from '../../model/equipment.ts';
import type { FindingOf } from '../../model/finding.ts';
import { gridFrequencyHz, valueAt } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { HighestClean } from '../chain/highest-clean-setting.ts';
import type { SolvedFeed } from '../chain/solved-feed.ts';
import type { Feed } from '../feeds/feed.ts';
import { findingsAbout, idsOf, limitersOn, type PlanContext } from '../plan-context.ts';
import { bassNeed } from './bass-need.ts';
import type { BassReach } from './bass-reach.ts';
import { boostLaw, predictedBass } from './boost-law.ts';
import { fitLowShelf } from './fit-low-shelf.ts';
import { MOST_RESTORATION_DB } from './restoration-limit.ts';
import {
  atLeastReason,
  beyondReasons,
  ENOUGH_WITHIN_DB,
  holdsUpTo,
  lossOf,
  mostNeededDb,
  reachHz,
} from './restoration-reach.ts';

export type Restoration = AdviceOf<'restoration'>;

/** Losses smaller than this are not worth a part (common practice: below what is heard in a car). */
const WORTH_RESTORING_DB = 1;
const DEFAULT_CENTRE_HZ = 50;
/** Exact third-octave midband frequencies of IEC 61260-1. */
const STATED_HZ = [-15, -14, -13, -12, -11, -10].map((third) => 1000 * 10 ** (third / 10));

export interface RestorationPlan {
  readonly recommendation: Restoration;
  /** Decibels on the frequency grid that the converter adds at a setting; all zero where none is needed. */
  readonly boostDb: (setting: number) => Float64Array;
}

/** How much bass to put back on the subwoofer feed, from which setting, and what stays missing. */
export function restorationPlan(context: PlanContext, feed: Feed, clean: HighestClean): RestorationPlan {
  const tapIds = feed.taps.map(({ tapId }) => tapId);
  const changes = findingsAbout(context, 'bass-change', tapIds);
  const limiters = limitersOn(context, tapIds);
  const converter = context.equipment?.converter ?? null;
  const ability = converter?.restoration ?? null;
  const centreHz = ability?.centreHz ?? DEFAULT_CENTRE_HZ;
  const base = {
    kind: 'restoration' as const,
    id: 'restoration',
    restsOn: idsOf([...changes, ...limiters, ...findingsAbout(context, 'loudness-contour', tapIds)]),
    output: 'subwoofer' as const,
    tapIds,
    atHz: centreHz,
    frequencyHz: STATED_HZ,
    impossible: limiters.map(({ tapIds: [tapId] }) => ({ code: 'a limiter holds the bass' as const, tapId })),
  };
  const falls = changes.filter(({ verdict }) => verdict === 'falls with volume');
  const found = bassNeed(context, tapIds);
  const lone = falls.map(loneLossOf).find((reason) => reason !== null) ?? null;
  const needs = lone === null && found !== null && (falls.length > 0 || found.atLeast) ? found : null;
  if (needs === null) {
    const notKnown = lone ?? (falls.length > 0 ? NO_REFERENCE : whyNotJudged(changes));
    return {
      recommendation: {
        ...base,
        ...NOTHING,
        verdict: notKnown === null ? 'none needed' : 'cannot be told',
        reasons:
          notKnown === null
            ? [{ code: 'bass keeps with the rest' }]
            : [notKnown, { code: 'no converter before the loss is known' }],
        loss: null,
      },
      boostDb: () => NO_BOOST,
    };
  }
  const { perSetting } = needs;
  const usable = perSetting.filter(({ setting }) => clean.recorded === null || setting <= clean.recorded);
  const top = usable.at(-1) ?? perSetting[0];
  const mostDb = Math.min(MOST_RESTORATION_DB, abilityDb(converter));
  const worthIt = mostNeededDb(top) >= WORTH_RESTORING_DB;
  const limited = worthIt
    ? limitedBy({ wantedDb: mostNeededDb(top), mostDb, ability: converter })
    : 'nothing';
  const holds = holdsUpTo(usable, mostDb);
  const isBeyond =
    limited === '12 dB' && holds !== undefined && valueAt(holds.neededDb, centreHz) >= WORTH_RESTORING_DB;
  // What is set is for the setting that the plan holds up to.
  const set = isBeyond ? holds : top;
  const boostDb = boostLaw({ needs: perSetting, top: set, mostDb, fixed: ability?.kind === 'fixed' });
  const loss = lossOf(needs);
  const reach = limited === 'nothing' ? {} : { reachesDownToHz: reachHz(top, mostDb) };
  return {
    recommendation: {
      ...base,
      verdict: worthIt ? 'restore' : 'none needed',
      reasons: [
        ...(needs.atLeast ? [atLeastReason(loss)] : []),
        ...(worthIt
          ? reasonsFor(context, ability?.kind ?? null)
          : [{ code: 'loss too small to hear' as const }]),
        ...(limited === '12 dB' ? beyondReasons({ top, holds, mostDb }) : []),
      ],
      amountDb: worthIt ? Math.min(valueAt(set.neededDb, centreHz), mostDb) : 0,
      fromSetting: lastIntact(falls) ?? null,
      toSetting: set.setting,
      settings: usable.map(({ setting, neededDb }) => {
        const boost = boostDb(setting);
        const needed = STATED_HZ.map((hz) => valueAt(neededDb, hz));
        const given = STATED_HZ.map((hz) => (worthIt ? valueAt(boost, hz) : 0));
        return {
          setting,
          neededDb: needed,
          boostDb: given,
          residualDb: given.map((db, i) => db - needed[i]),
        };
      }),
      shelf: worthIt ? shelfWithin((limited === 'nothing' ? top : (holds ?? top)).neededDb, mostDb) : null,
      limitedBy: limited,
      loss,
      // A part that restores too little is exchanged: the volume is not kept down for it.
      holdsUpToSetting: worthIt && limited !== 'the converter' ? (holds?.setting ?? null) : null,
      ...reach,
      ...(worthIt ? { predicted: predictedBass(usable, boostDb) } : {}),
    },
    boostDb: worthIt ? boostDb : () => NO_BOOST,
  };
}

const NO_BOOST = new Float64Array(gridFrequencyHz.length);
const NO_REFERENCE: Reason = { code: 'no tap to hold the bass against' };
const NOTHING = {
  amountDb: 0,
  fromSetting: null,
  toSetting: null,
  settings: [],
  shelf: null,
  limitedBy: 'nothing' as const,
  holdsUpToSetting: null,
};

function whyNotJudged(changes: readonly FindingOf<'bass-change'>[]): Reason | null {
  return changes.find(({ verdict }) => verdict === 'cannot be told')?.reason ?? null;
}

/** The shelf that comes nearest; none where it would have to be more than can be given. */
function shelfWithin(neededDb: Float64Array, mostDb: number): Restoration['shelf'] {
  const shelf = fitLowShelf(neededDb);
  return shelf === null || shelf.gainDb > mostDb + ENOUGH_WITHIN_DB ? null : shelf;
}

function abilityDb(converter: Converter | null): number {
  if (converter === null) return Number.POSITIVE_INFINITY;
  return converter.restoration?.maximumDb ?? 0;
}

function limitedBy({
  wantedDb,
  mostDb,
  ability,
}: {
  wantedDb: number;
  mostDb: number;
  ability: Converter | null;
}): Restoration['limitedBy'] {
  if (wantedDb <= mostDb + 0.05) return 'nothing';
  return ability !== null && abilityDb(ability) < MOST_RESTORATION_DB ? 'the converter' : '12 dB';
}

function lastIntact(falls: readonly { onset: { lastIntact: number } | null }[]): number | undefined {
  const settings = falls.flatMap(({ onset }) => (onset === null ? [] : [onset.lastIntact]));
  return settings.length === 0 ? undefined : Math.min(...settings);
}

function reasonsFor(context: PlanContext, kind: 'fixed' | 'dynamic' | null): Reason[] {
  const mainsAreFactory =
    context.equipment?.speakers.some(({ feeds, factory }) => feeds !== 'subwoofer' && factory) ?? false;
  return [
    { code: 'radio takes bass away' },
    { code: mainsAreFactory ? 'factory speakers keep the cut' : 'mains keep the cut' },
    ...(kind === 'fixed' ? [{ code: 'a fixed boost fits one setting' as const }] : []),
    { code: 'set gains with restoration off' },
  ];
}

function isShort(limit: SolvedFeed['levels']['bindingLimit']): boolean {
  return limit === 'converter gain at its top' || limit === 'amplifier gain at its top';
}

/** What the rest of the chain adds to the limits, known only once the gains are. */
export function stoppedBy(
  restoration: Restoration,
  { chain, reach }: { readonly chain: SolvedFeed | undefined; readonly reach: BassReach | undefined },
): Restoration {
  if (restoration.verdict !== 'restore' || restoration.limitedBy !== 'nothing') return restoration;
  if (chain !== undefined && isShort(chain.levels.bindingLimit))
    return { ...restoration, limitedBy: 'headroom' };
  const travelEndsAt = reach?.travelLimitsBelowHz;
  if (travelEndsAt !== undefined && travelEndsAt > restoration.atHz)
    return { ...restoration, limitedBy: 'cone travel' };
  return restoration;
}
