import type { Converter, Equipment } from '../../model/equipment.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { isNotMeasurable, type MeasuredOrReason, measured } from '../../model/measured.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import type { Restoration } from '../bass/restoration.ts';
import type { Feed } from '../feeds/feed.ts';
import { indexRange } from '../feeds/flatness.ts';
import { type HighestClean, tapVolts } from '../gains/highest-clean-setting.ts';
import { feedLevel } from '../gains/tap-level.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';
import { turnOnAdvice } from './turn-on.ts';

export type Order = RecommendationOf<'order'>;

/** An input is to stand this much more than the worst clean level (common practice: meters, supply and tone controls wander). */
const INPUT_MARGIN_DB = 1;

/** What to buy, worked out from the feeds, the volts and the bass that is missing; or that what is there will do. */
export function orderSheet(
  context: PlanContext,
  {
    feeds,
    restoration,
    clean,
  }: { feeds: readonly Feed[]; restoration: Restoration | null; clean: HighestClean },
): Order {
  const taps = feeds.flatMap((feed) => feed.taps);
  const tapIds = [...new Set(taps.map(({ tapId }) => tapId))];
  const worst = worstVolts(context, tapIds, clean.recorded);
  const need = {
    inputs: tapIds.length,
    worst,
    rating: scaled(worst, 10 ** (INPUT_MARGIN_DB / 20)),
    summing: feeds.some(({ summed }) => summed),
    delay: taps.some(({ delaySeconds }) => delaySeconds > 0),
    trimDb: -Math.min(0, ...taps.map(({ trimDb }) => trimDb)),
    restorationDb: restoration?.verdict === 'restore' ? neededDb(restoration) : 0,
  };
  const { equipment } = context;
  const direct = goesDirect(equipment, need);
  const given =
    equipment?.converter == null
      ? null
      : { name: equipment.converter.name, shortfalls: shortfalls(equipment.converter, need) };
  const turnOn = turnOnAdvice(context, tapIds);
  return {
    kind: 'order',
    id: 'order',
    order: 0,
    restsOn: idsOf([
      ...findingsAbout(context, 'band', tapIds),
      ...findingsAbout(context, 'bass-change', tapIds),
      ...findingsAbout(context, 'clipping', tapIds),
      ...findingsAbout(context, 'volume-law', tapIds),
      ...findingsAbout(context, 'rail', tapIds),
    ]),
    reasons: reasonsFor(need, { direct, given, hasAmplifiers: (equipment?.amplifiers.length ?? 0) > 0 }),
    nothingToOrder: direct || given?.shortfalls.length === 0,
    converterClass: direct ? 'none' : classFor(need),
    inputs: need.inputs,
    worstInputVoltsRms: worst,
    inputRatingVoltsRms: need.rating,
    summing: need.summing,
    delay: need.delay,
    restorationDb: need.restorationDb,
    load: 'keep a speaker or a 47 ohm 5 W resistor on every factory output in use: some mute or change with nothing connected',
    turnOn: turnOn.use,
    given,
  };
}

interface Need {
  readonly inputs: number;
  readonly worst: MeasuredOrReason;
  readonly rating: MeasuredOrReason;
  readonly summing: boolean;
  readonly delay: boolean;
  /** Most that one of the taps is to be turned down before it is added. */
  readonly trimDb: number;
  readonly restorationDb: number;
}

/** Most volts that one of the taps gives, at any frequency, full-scale tones. */
function worstVolts(
  context: PlanContext,
  tapIds: readonly string[],
  setting: number | null,
): MeasuredOrReason {
  const each = tapIds.map((tapId) =>
    tapVolts(context, { tapId, setting, frequencyHz: boostedHz(context, tapId, setting) }),
  );
  const missing = each.find((volts) => isNotMeasurable(volts));
  if (missing !== undefined) return missing;
  const known = each.filter((volts) => 'value' in volts);
  return known.reduce((worst, volts) => (volts.value > worst.value ? volts : worst));
}

const INPUT_BAND_HZ = [20, 20_000] as const;

function boostedHz(context: PlanContext, tapId: string, setting: number | null): number {
  const tap = { tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 } as const;
  const level = setting === null ? null : feedLevel(context, [tap], setting);
  if (level === null) return 1000;
  const { first, last } = indexRange(INPUT_BAND_HZ);
  let at = first;
  for (let i = first; i <= last; i++) if (level.level[i] > level.level[at]) at = i;
  return gridFrequencyHz[at];
}

/** Every amplifier takes speaker level, and nothing has to be done to the signal before it. */
function goesDirect(equipment: Equipment | null, { rating, summing, delay, restorationDb }: Need): boolean {
  if (equipment === null || equipment.amplifiers.length === 0 || equipment.converter !== null) return false;
  if (summing || delay || restorationDb > 0 || isNotMeasurable(rating)) return false;
  return equipment.amplifiers.every(
    ({ speakerInputLimitVoltsRms: limit }) => limit !== null && limit >= rating.value,
  );
}

function classFor({ summing, delay, trimDb, restorationDb }: Need): Order['converterClass'] {
  if (delay || trimDb > 0) return 'digital processor';
  if (restorationDb > 0) return 'summing with restoration';
  return summing ? 'summing' : 'gain only';
}

function shortfalls(converter: Converter, need: Need): string[] {
  const boostDb = converter.restoration?.maximumDb ?? 0;
  return [
    ...(converter.inputs < need.inputs
      ? [`${need.inputs} inputs are needed, it has ${converter.inputs}`]
      : []),
    ...(need.summing && converter.summing === 'none' ? ['it cannot add taps'] : []),
    ...(need.delay && converter.maximumDelaySeconds === 0 ? ['it cannot delay'] : []),
    ...(need.restorationDb > boostDb + 0.1
      ? [`${need.restorationDb.toFixed(1)} dB of bass are to be restored, it gives ${boostDb.toFixed(1)} dB`]
      : []),
    ...(!isNotMeasurable(need.rating) && converter.inputLimitVoltsRms < need.rating.value
      ? [
          `its inputs stand ${converter.inputLimitVoltsRms} V, ${need.rating.value.toFixed(1)} V are needed: put a pad in front`,
        ]
      : []),
  ];
}

function reasonsFor(
  need: Need,
  { direct, given, hasAmplifiers }: { direct: boolean; given: Order['given']; hasAmplifiers: boolean },
): string[] {
  if (direct)
    return [
      'the taps are full range, nothing is to be added or restored, and the amplifier takes speaker level of these volts',
    ];
  if (given?.shortfalls.length === 0) return [`${given.name} does all that is needed`];
  return [
    ...(need.summing ? ['band-limited taps have to be added'] : []),
    ...(need.delay ? ['the taps do not arrive together: one has to be delayed'] : []),
    ...(need.trimDb > 0
      ? [
          `the taps are not equally strong: one is to be turned down by ${need.trimDb.toFixed(0)} dB before it is added`,
        ]
      : []),
    ...(need.restorationDb > 0
      ? [`${need.restorationDb.toFixed(1)} dB of bass are missing at the highest clean setting`]
      : []),
    ...(!need.summing && !need.delay && need.restorationDb === 0
      ? [
          isNotMeasurable(need.rating)
            ? 'amplifiers with speaker-level inputs need no converter if those stand the level: the volts are not known yet'
            : `amplifiers with speaker-level inputs rated for ${need.rating.value.toFixed(1)} V or more need no converter`,
        ]
      : []),
    ...(hasAmplifiers ? [] : ['no amplifiers are given: the class is what the radio asks for']),
  ];
}

function neededDb({ settings, frequencyHz, atHz, toSetting, amountDb }: Restoration): number {
  const top = settings.find(({ setting }) => setting === toSetting);
  if (top === undefined) return amountDb;
  const nearest = frequencyHz.reduce(
    (best, hz, i) => (Math.abs(hz - atHz) < Math.abs(frequencyHz[best] - atHz) ? i : best),
    0,
  );
  return Math.max(amountDb, top.neededDb[nearest]);
}

function scaled(volts: MeasuredOrReason, factor: number): MeasuredOrReason {
  if (isNotMeasurable(volts)) return volts;
  return measured({ value: volts.value * factor, plusMinus: volts.plusMinus * factor });
}
