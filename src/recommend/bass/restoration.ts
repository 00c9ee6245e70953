import type { Converter } from '../../model/equipment.ts';
import type { FindingOf } from '../../model/finding.ts';
import { gridFrequencyHz, valueAt } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import type { HighestClean } from '../chain/highest-clean-setting.ts';
import type { SolvedFeed } from '../chain/solved-feed.ts';
import type { Feed } from '../feeds/feed.ts';
import { indexRange } from '../feeds/flatness.ts';
import { findingsAbout, idsOf, limitersOn, type PlanContext } from '../plan-context.ts';
import { type BassNeed, type BassNeeds, bassNeed } from './bass-need.ts';
import type { BassReach } from './bass-reach.ts';
import { fitLowShelf } from './fit-low-shelf.ts';
import { MOST_RESTORATION_DB } from './restoration-limit.ts';

export type Restoration = RecommendationOf<'restoration'>;

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
    order: 0,
    restsOn: idsOf([...changes, ...limiters, ...findingsAbout(context, 'loudness-contour', tapIds)]),
    output: 'subwoofer' as const,
    tapIds,
    atHz: centreHz,
    frequencyHz: STATED_HZ,
    impossible: limiters.map(({ tapIds: [tapId] }) => ({ code: 'a limiter holds the bass' as const, tapId })),
  };
  const falls = changes.filter(({ verdict }) => verdict === 'falls with volume');
  const found = bassNeed(context, tapIds);
  const needs = found !== null && (falls.length > 0 || found.atLeast) ? found : null;
  if (needs === null) {
    const untold = falls.length > 0 ? NO_REFERENCE : whyUntold(changes);
    return {
      recommendation: {
        ...base,
        ...NOTHING,
        verdict: untold === null ? 'none needed' : 'cannot be told',
        reasons:
          untold === null
            ? [{ code: 'bass keeps with the rest' }]
            : [untold, { code: 'no converter before the loss is known' }],
        loss: null,
      },
      boostDb: () => NO_BOOST,
    };
  }
  const { perSetting } = needs;
  const usable = perSetting.filter(({ setting }) => clean.recorded === null || setting <= clean.recorded);
  const top = usable.at(-1) ?? perSetting[0];
  const mostDb = Math.min(MOST_RESTORATION_DB, abilityDb(converter));
  const boostDb = boostLaw({ needs: perSetting, top, mostDb, fixed: ability?.kind === 'fixed' });
  const wantedDb = valueAt(top.neededDb, centreHz);
  const worthIt = mostNeededDb(top) >= WORTH_RESTORING_DB;
  const limited = worthIt
    ? limitedBy({ wantedDb: mostNeededDb(top), mostDb, ability: converter })
    : 'nothing';
  const holds = usable.findLast((_, i) =>
    usable.slice(0, i + 1).every((need) => mostNeededDb(need) <= mostDb + ENOUGH_WITHIN_DB),
  );
  const loss = lossOf(needs);
  const reach = limited === 'nothing' ? {} : { reachesDownToHz: reachHz(top.neededDb, mostDb) };
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
      amountDb: worthIt ? Math.min(wantedDb, mostDb) : 0,
      fromSetting: lastIntact(falls) ?? null,
      toSetting: top.setting,
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
      shelf: worthIt ? fitLowShelf((limited === 'nothing' ? top : (holds ?? top)).neededDb) : null,
      limitedBy: limited,
      loss,
      holdsUpToSetting: worthIt ? (holds?.setting ?? null) : null,
      ...reach,
      ...(worthIt ? { predicted: predicted(usable, boostDb) } : {}),
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

function whyUntold(changes: readonly FindingOf<'bass-change'>[]): Reason | null {
  return changes.find(({ verdict }) => verdict === 'cannot be told')?.reason ?? null;
}

/** Restoration is judged from here up: what music has below is little (common practice). */
const LOWEST_RESTORED_HZ = 40;
/** Takes repeat to half a decibel. */
const ENOUGH_WITHIN_DB = 0.5;

function mostNeededDb({ neededDb }: BassNeed): number {
  const { first } = indexRange([LOWEST_RESTORED_HZ, LOWEST_RESTORED_HZ * 2]);
  return neededDb.subarray(first).reduce((most, db) => Math.max(most, db), 0);
}

/** Between the setting with least loss and the top one. */
function lossOf({ perSetting, atLeast }: BassNeeds): NonNullable<Restoration['loss']> {
  const db = ({ neededDb }: BassNeed) => valueAt(neededDb, LOWEST_RESTORED_HZ);
  const least = perSetting.reduce((best, need) => (db(need) < db(best) ? need : best));
  const top = perSetting[perSetting.length - 1];
  return {
    atLeast,
    db: db(top) - db(least),
    atHz: LOWEST_RESTORED_HZ,
    betweenSettings: [least.setting, top.setting],
  };
}

function atLeastReason({ db, atHz, betweenSettings: [from, to] }: NonNullable<Restoration['loss']>): Reason {
  return { code: 'loss is at least this', db, atHz, from, to };
}

/** Above this frequency the boost is enough. */
function reachHz(neededDb: Float64Array, mostDb: number): number {
  const last = neededDb.findLastIndex((db) => db > mostDb + ENOUGH_WITHIN_DB);
  return gridFrequencyHz[Math.min(gridFrequencyHz.length - 1, last + 1)];
}

function beyondReasons({
  top,
  holds,
  mostDb,
}: {
  top: BassNeed;
  holds: BassNeed | undefined;
  mostDb: number;
}): Reason[] {
  const reach = {
    code: 'boost reaches down to' as const,
    mostDb,
    hz: reachHz(top.neededDb, mostDb),
    setting: top.setting,
  };
  if (holds === undefined) return [reach];
  return [
    reach,
    { code: 'full only up to a setting', setting: holds.setting, mostDb },
    { code: 'stay below or tap ahead', setting: holds.setting },
  ];
}

/** For a picture: 20 points a decade over the bass in which losses are worked out. */
const PREDICTED_STEP = 8;
const PREDICTED_FROM_HZ = 25;
const PREDICTED_TO_HZ = 300;

function predicted(
  needs: readonly BassNeed[],
  boostDb: (setting: number) => Float64Array,
): Restoration['predicted'] {
  const points = Array.from(gridFrequencyHz).flatMap((hz, i) =>
    i % PREDICTED_STEP === 0 && hz >= PREDICTED_FROM_HZ && hz <= PREDICTED_TO_HZ ? [i] : [],
  );
  return {
    frequencyHz: points.map((i) => gridFrequencyHz[i]),
    settings: needs.map(({ setting, neededDb }) => {
      const boost = boostDb(setting);
      return {
        setting,
        beforeDb: points.map((i) => 0 - neededDb[i]),
        afterDb: points.map((i) => boost[i] - neededDb[i]),
      };
    }),
  };
}

function abilityDb(converter: Converter | null): number {
  if (converter === null) return Number.POSITIVE_INFINITY;
  return converter.restoration?.maximumDb ?? 0;
}

/** `fixed`: one boost for all settings, half way between the least and the most that is needed. */
function boostLaw({
  needs,
  top,
  mostDb,
  fixed,
}: {
  readonly needs: readonly BassNeed[];
  readonly top: BassNeed;
  readonly mostDb: number;
  readonly fixed: boolean;
}): (setting: number) => Float64Array {
  if (fixed) {
    const half = top.neededDb.map((db) => Math.min(mostDb, db / 2));
    return () => half;
  }
  return (setting) => {
    const nearest = needs.findLast((need) => need.setting <= setting) ?? needs[0];
    return nearest.neededDb.map((db) => Math.min(mostDb, db));
  };
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
