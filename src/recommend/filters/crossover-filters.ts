import type { FilterAbility, Output } from '../../model/equipment.ts';
import type { Reason } from '../../model/reason.ts';
import type { HandOverSum } from '../../model/recommendation/tuning.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { BassReach } from '../bass/bass-reach.ts';
import type { Feed } from '../feeds/feed.ts';
import { amplifierFor, findingsAbout, idsOf, type PlanContext, roleOfTap } from '../plan-context.ts';
import { USUAL_SLOPE_DB_PER_OCTAVE } from './filter-loss.ts';
import { filterShortfall } from './filter-shortfall.ts';
import { handOverSum, type SetFilter } from './hand-over-sum.ts';
import { infrasonicFilter } from './infrasonic-filter.ts';
import { type RadioFilter, radioFilter } from './radio-filter.ts';
import { radioHandOver } from './radio-hand-over.ts';
import { secondFilterPrice } from './second-filter-price.ts';

type Filter = AdviceOf<'filter'>;

/** Where mains and subwoofer hand over (common practice: 60 to 100 Hz). */
export const USUAL_HAND_OVER_HZ = 80;
const HAND_OVER_RANGE_HZ = [60, 120] as const;
/** A filter of the radio this near to the wanted corner is that filter: a second one takes 3 or 6 dB more and turns the phase again. */
const AN_OCTAVE = 2;

interface FeedsToCross {
  readonly feeds: readonly Feed[];
  readonly reach: BassReach | undefined;
  /** How long the plan makes a feed wait. */
  readonly waitsSeconds?: (feed: Feed) => number;
}

/**
 * High-pass of the mains and low-pass of the subwoofer, each with the slope of its own part; left open where the radio
 * filters already. The subwoofer starts in the polarity in which all of it adds best.
 */
export function crossoverFilters(
  context: PlanContext,
  { feeds, reach, waitsSeconds = () => 0 }: FeedsToCross,
): Filter[] {
  const sub = feeds.find(({ output }) => output === 'subwoofer');
  if (sub === undefined) return [];
  const mains = feeds.filter(({ output }) => output !== 'subwoofer');
  const outputs = [...new Set(mains.map(({ output }) => output))];
  const cornerHz = handOverHz(context, sub, outputs);
  const filter = (output: Output, type: Filter['type']) =>
    filterOf(context, { feeds, output, type, cornerHz });
  const highPasses = outputs.map((output) => filter(output, 'high-pass'));
  const lowPass = filter('subwoofer', 'low-pass');
  const handOver = handOverOf(context, {
    sub,
    mains: mains[0],
    highPass: highPasses[0],
    lowPass,
    atHz: lowPass.cornerHz,
    waitsSeconds,
  });
  return [
    ...highPasses,
    { ...lowPass, handOver, reasons: [...lowPass.reasons, ...polarityReasons(handOver)] },
    ...(reach?.travelLimitsBelowHz === undefined
      ? []
      : [infrasonicFilter(amplifierFor(context, 'subwoofer'), reach.travelLimitsBelowHz)]),
  ];
}

/** 80 Hz, moved up to what the speakers stand and the radio gives them, down to what the subwoofer output carries. */
function handOverHz(context: PlanContext, sub: Feed, mains: readonly Output[]): number {
  const speakers = context.equipment?.speakers ?? [];
  const lowest = speakers.filter(({ feeds }) => mains.includes(feeds)).map(({ lowestHz }) => lowestHz ?? 0);
  const subEnds = sub.taps.flatMap(({ tapId }) => {
    const edge = roleOfTap(context, tapId).band?.highEdge?.minus3Hz;
    return edge !== undefined && 'value' in edge ? [edge.value] : [];
  });
  const wanted = Math.max(USUAL_HAND_OVER_HZ, ...lowest);
  const carried = Math.min(wanted, ...subEnds);
  return Math.round(Math.max(HAND_OVER_RANGE_HZ[0], Math.min(HAND_OVER_RANGE_HZ[1], carried)));
}

interface WantedFilter {
  readonly feeds: readonly Feed[];
  readonly output: Output;
  readonly type: Filter['type'];
  readonly cornerHz: number;
}

function filterOf(context: PlanContext, { feeds, output, type, cornerHz }: WantedFilter): Filter {
  const radio = radioFilter(
    context,
    feeds.filter((feed) => feed.output === output),
    type,
  );
  const slopeDbPerOctave = abilityOf(context, output, type)?.slopeDbPerOctave ?? USUAL_SLOPE_DB_PER_OCTAVE;
  const tapIds = feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId));
  const base = {
    kind: 'filter' as const,
    id: `filter-${output}-${type}`,
    restsOn: idsOf(findingsAbout(context, 'band', tapIds)),
    output,
    type,
  };
  if (radio !== null && filtersAlready(context, radio, { output, type, cornerHz }))
    return { ...base, ...leftOpen(radio, type, { cornerHz, slopeDbPerOctave }) };
  return {
    ...base,
    reasons: [
      type === 'high-pass'
        ? { code: 'bass is the subwoofer’s', cornerHz }
        : { code: 'above it the subwoofer is heard from behind', cornerHz },
      { code: 'meet at one corner, check at the seat' },
    ],
    state: 'set',
    cornerHz,
    slopeDbPerOctave,
    shortfall: filterShortfall(amplifierFor(context, output), type, cornerHz),
  };
}

/** The amplifier's filter stays out, with what it would cost on top of the radio's. */
function leftOpen(
  radio: RadioFilter,
  type: Filter['type'],
  second: { readonly cornerHz: number; readonly slopeDbPerOctave: number },
): Omit<Filter, 'kind' | 'id' | 'restsOn' | 'output' | 'type'> {
  const price = secondFilterPrice({ radio, type, second, atHz: USUAL_HAND_OVER_HZ });
  return {
    reasons: openReasons(radio, price),
    state: 'open',
    cornerHz: radio.cornerHz,
    slopeDbPerOctave: radio.slopeDbPerOctave ?? second.slopeDbPerOctave,
    slopeKnown: radio.slopeDbPerOctave !== null,
    shortfall: null,
    ...(price === null ? {} : { price }),
  };
}

/** Within an octave of the wanted corner, or beyond it; but not where a speaker asks for more than the radio gives. */
function filtersAlready(
  context: PlanContext,
  radio: RadioFilter,
  { output, type, cornerHz }: { output: Output; type: Filter['type']; cornerHz: number },
): boolean {
  if (type === 'low-pass') return radio.cornerHz <= cornerHz * AN_OCTAVE;
  const lowestHz = context.equipment?.speakers.find(({ feeds }) => feeds === output)?.lowestHz ?? 0;
  return radio.cornerHz >= Math.max(cornerHz / AN_OCTAVE, lowestHz / SPEAKER_MARGIN);
}

/** A radio's filter this little below what a speaker's maker asks for is taken for it (a third of an octave, common practice). */
const SPEAKER_MARGIN = 2 ** (1 / 3);

function openReasons(radio: RadioFilter, price: Filter['price'] | null): Reason[] {
  const { cornerHz, slopeDbPerOctave } = radio;
  return [
    { code: 'the radio filters there already', cornerHz, slopeDbPerOctave },
    ...(price == null ? [] : [{ code: 'a second filter costs' as const, ...price }]),
  ];
}

function handOverOf(
  context: PlanContext,
  of: {
    readonly sub: Feed;
    readonly mains: Feed | undefined;
    readonly highPass: Filter | undefined;
    readonly lowPass: Filter;
    readonly atHz: number;
    readonly waitsSeconds: (feed: Feed) => number;
  },
): HandOverSum {
  const { sub, mains, highPass, lowPass, atHz, waitsSeconds } = of;
  const radio = mains === undefined ? null : radioHandOver(context, { subwoofer: sub, mains, waitsSeconds });
  const isSet = (one: Filter | undefined): SetFilter => (one?.state === 'set' ? one : null);
  // Not recorded together: the radio's own filters are left out too, and the reasons say so.
  return handOverSum({
    mains: radio?.mains ?? null,
    subwoofer: radio?.subwoofer ?? null,
    highPass: radio === null ? (highPass ?? null) : isSet(highPass),
    lowPass: radio === null ? lowPass : isSet(lowPass),
    atHz,
    basis: radio === null ? 'filters alone' : 'radio and filters',
  });
}

/** The cabin and the distances have the last word. */
function polarityReasons({ atHz, asWired, inverted, startWith, basis }: HandOverSum): Reason[] {
  return [
    ...(basis === 'filters alone' ? [{ code: 'radio’s own turn not known' as const }] : []),
    {
      code: 'hand-over adds',
      atHz,
      asWiredLeastDb: asWired.leastDb,
      asWiredMostDb: asWired.mostDb,
      invertedLeastDb: inverted.leastDb,
      invertedMostDb: inverted.mostDb,
    },
    startWith === 'either'
      ? { code: 'the seat decides the polarity' }
      : { code: 'start with the subwoofer', polarity: startWith },
  ];
}

function abilityOf(context: PlanContext, output: Output, type: Filter['type']): FilterAbility | null {
  const amplifier = amplifierFor(context, output);
  return (type === 'high-pass' ? amplifier?.highPass : amplifier?.lowPass) ?? null;
}
