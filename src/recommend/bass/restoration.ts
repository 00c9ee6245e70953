import { loneLossOf } from '../../findings/bass/lone-loss.ts';
import type { FindingOf } from '../../model/finding.ts';
import { gridFrequencyHz, valueAt } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { HighestClean } from '../chain/highest-clean-setting.ts';
import type { Feed } from '../feeds/feed.ts';
import { findingsAbout, idsOf, limitersOn, type PlanContext } from '../plan-context.ts';
import { type BassNeed, bassNeed } from './bass-need.ts';
import { predictedBass } from './boost-law.ts';
import { boostToSet } from './boost-to-set.ts';
import { fitLowShelf } from './fit-low-shelf.ts';
import { atLeastReason, beyondReasons, ENOUGH_WITHIN_DB, lossOf, reachHz } from './restoration-reach.ts';

export type Restoration = AdviceOf<'restoration'>;

/** Of a converter whose sheet does not say where its restoration is strongest (common practice: 45 to 50 Hz). */
const DEFAULT_CENTRE_HZ = 50;
/** Exact third-octave midband frequencies of IEC 61260-1. */
const STATED_HZ = [-15, -14, -13, -12, -11, -10].map((third) => 1000 * 10 ** (third / 10));

const NO_REFERENCE: Reason = { code: 'no tap to hold the bass against' };
const NO_BOOST = new Float64Array(gridFrequencyHz.length);

export interface RestorationPlan {
  readonly recommendation: Restoration;
  /** Decibels on the frequency grid that the converter adds at a setting; all zero where none is needed. */
  readonly boostDb: (setting: number) => Float64Array;
}

/** How much bass to put back on the subwoofer feed, from which setting, and what stays missing. */
export function restorationPlan(context: PlanContext, feed: Feed, clean: HighestClean): RestorationPlan {
  const tapIds = feed.taps.map(({ tapId }) => tapId);
  const changes = findingsAbout(context, 'bass-change', tapIds);
  const falls = changes.filter(({ verdict }) => verdict === 'falls with volume');
  const base = baseOf(context, tapIds);
  const need = bassNeed(context, tapIds);
  const lone = falls.map(loneLossOf).find((reason) => reason !== null) ?? null;
  if (lone !== null || need === null || (falls.length === 0 && !need.atLeast)) {
    const notKnown = lone ?? (falls.length > 0 ? NO_REFERENCE : whyNotJudged(changes));
    return { recommendation: nothingToRestore(base, notKnown), boostDb: () => NO_BOOST };
  }
  const converter = context.equipment?.converter ?? null;
  const boost = boostToSet({ need, clean, converter, centreHz: base.atHz });
  const { top, holds, mostDb, isWorthIt, limitedBy, isFixed } = boost;
  const boostDb = isWorthIt ? boost.boostDb : () => NO_BOOST;
  const loss = lossOf(need);
  return {
    recommendation: {
      ...base,
      verdict: isWorthIt ? 'restore' : 'none needed',
      reasons: [
        ...(need.atLeast ? [atLeastReason(loss)] : []),
        ...(isWorthIt ? reasonsFor(context) : [{ code: 'loss too small to hear' as const }]),
        ...(limitedBy === '12 dB' ? beyondReasons({ top, holds, mostDb }) : []),
      ],
      amountDb: valueAt(boostDb(boost.set.setting), base.atHz),
      ...(isFixed && isWorthIt ? { sameAtEverySetting: true } : {}),
      fromSetting: lastIntact(falls) ?? null,
      toSetting: boost.set.setting,
      settings: boost.usable.map((one) => leftMissing(one, boostDb)),
      shelf:
        isWorthIt && !isFixed
          ? shelfWithin((limitedBy === 'nothing' ? top : (holds ?? top)).neededDb, mostDb)
          : null,
      limitedBy,
      loss,
      // A part that restores too little is exchanged: the volume is not kept down for it.
      holdsUpToSetting: isWorthIt && limitedBy !== 'the converter' ? (holds?.setting ?? null) : null,
      ...(limitedBy === 'nothing' || isFixed ? {} : { reachesDownToHz: reachHz(top, mostDb) }),
      ...(isWorthIt ? { predicted: predictedBass(boost.usable, boostDb) } : {}),
    },
    boostDb,
  };
}

function baseOf(context: PlanContext, tapIds: readonly string[]) {
  const limiters = limitersOn(context, tapIds);
  const changes = findingsAbout(context, 'bass-change', tapIds);
  const contours = findingsAbout(context, 'loudness-contour', tapIds);
  return {
    kind: 'restoration' as const,
    id: 'restoration',
    restsOn: idsOf([...changes, ...limiters, ...contours]),
    output: 'subwoofer' as const,
    tapIds: [...tapIds],
    atHz: context.equipment?.converter?.restoration?.centreHz ?? DEFAULT_CENTRE_HZ,
    frequencyHz: STATED_HZ,
    impossible: limiters.map(({ tapIds: [tapId] }) => ({ code: 'a limiter holds the bass' as const, tapId })),
  };
}

function nothingToRestore(base: ReturnType<typeof baseOf>, notKnown: Reason | null): Restoration {
  return {
    ...base,
    amountDb: 0,
    fromSetting: null,
    toSetting: null,
    settings: [],
    shelf: null,
    limitedBy: 'nothing',
    holdsUpToSetting: null,
    verdict: notKnown === null ? 'none needed' : 'cannot be told',
    reasons:
      notKnown === null
        ? [{ code: 'bass keeps with the rest' }]
        : [notKnown, { code: 'no converter before the loss is known' }],
    loss: null,
  };
}

/** The shelf that comes nearest; none where it would have to be more than can be given. */

function whyNotJudged(changes: readonly FindingOf<'bass-change'>[]): Reason | null {
  return changes.find(({ verdict }) => verdict === 'cannot be told')?.reason ?? null;
}

function reasonsFor({ equipment }: PlanContext): Reason[] {
  const mainsAreFactory =
    equipment?.speakers.some(({ feeds, factory }) => feeds !== 'subwoofer' && factory) ?? false;
  const isFixed = equipment?.converter?.restoration?.kind === 'fixed';
  return [
    { code: 'radio takes bass away' },
    { code: mainsAreFactory ? 'factory speakers keep the cut' : 'mains keep the cut' },
    ...(isFixed ? [{ code: 'a fixed boost fits one setting' as const }] : []),
    { code: 'set gains with restoration off' },
  ];
}

function lastIntact(falls: readonly { onset: { lastIntact: number } | null }[]): number | undefined {
  const settings = falls.flatMap(({ onset }) => (onset === null ? [] : [onset.lastIntact]));
  return settings.length === 0 ? undefined : Math.min(...settings);
}

function leftMissing(
  { setting, neededDb }: BassNeed,
  boostDb: (setting: number) => Float64Array,
): Restoration['settings'][number] {
  const needed = STATED_HZ.map((hz) => valueAt(neededDb, hz));
  const boost = boostDb(setting);
  const given = STATED_HZ.map((hz) => valueAt(boost, hz));
  return {
    setting,
    neededDb: needed,
    boostDb: given,
    residualDb: given.map((db, i) => db - needed[i]),
  };
}

function shelfWithin(neededDb: Float64Array, mostDb: number): Restoration['shelf'] {
  const shelf = fitLowShelf(neededDb);
  return shelf === null || shelf.gainDb > mostDb + ENOUGH_WITHIN_DB ? null : shelf;
}
