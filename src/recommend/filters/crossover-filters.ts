import type { Amplifier, Output } from '../../model/equipment.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import type { BassReach } from '../bass/bass-reach.ts';
import type { Feed } from '../feeds/feed.ts';
import { findingsAbout, idsOf, type PlanContext, roleOfTap } from '../plan-context.ts';
import { subwooferPolarity } from './subwoofer-polarity.ts';

type Filter = RecommendationOf<'filter'>;

/** Where mains and subwoofer hand over (common practice: 60 to 100 Hz, the same slope on both). */
export const USUAL_HAND_OVER_HZ = 80;
const HAND_OVER_RANGE_HZ = [60, 120] as const;
const USUAL_SLOPE = 24;

/** High-pass of the mains and low-pass of the subwoofer, meeting at one corner with one slope. */
export function crossoverFilters(
  context: PlanContext,
  { feeds, reach }: { readonly feeds: readonly Feed[]; readonly reach: BassReach | undefined },
): Filter[] {
  const sub = feeds.find(({ output }) => output === 'subwoofer');
  if (sub === undefined) return [];
  const mains = [...new Set(feeds.map(({ output }) => output))].filter((output) => output !== 'subwoofer');
  const cornerHz = handOverHz(context, sub, mains);
  const slope = commonSlope(context, [...mains, 'subwoofer']);
  const restsOn = idsOf(
    findingsAbout(
      context,
      'band',
      feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)),
    ),
  );
  const filter = (output: Output, type: Filter['type']): Filter => ({
    kind: 'filter',
    id: `filter-${output}-${type}`,
    order: 0,
    restsOn,
    reasons: [
      ...reasonsFor(type, cornerHz),
      ...(output === 'subwoofer' ? polarityReasons(context, { sub, feeds, cornerHz }) : []),
    ],
    output,
    type,
    cornerHz,
    slopeDbPerOctave: slope,
    shortfall: shortfallOf(amplifierOf(context, output), type, cornerHz),
  });
  return [
    ...mains.map((output) => filter(output, 'high-pass')),
    filter('subwoofer', 'low-pass'),
    ...(reach?.travelLimitsBelowHz === undefined
      ? []
      : [infrasonicFilter(context, reach.travelLimitsBelowHz)]),
  ];
}

/** Above this a high-pass takes music away that the woofer still plays at less than full output (common practice: 20 to 35 Hz). */
const HIGHEST_INFRASONIC_HZ = 35;

/** Cuts what would only move the cone. */
function infrasonicFilter(context: PlanContext, travelLimitHz: number): Filter {
  const cornerHz = Math.min(travelLimitHz, HIGHEST_INFRASONIC_HZ);
  const amplifier = amplifierOf(context, 'subwoofer');
  return {
    kind: 'filter',
    id: 'filter-subwoofer-high-pass',
    order: 0,
    restsOn: [],
    reasons: [
      `below ${travelLimitHz} Hz the cones run out of travel before the amplifier runs out of power`,
      ...(cornerHz < travelLimitHz
        ? [
            `between ${cornerHz} and ${travelLimitHz} Hz they play, but not at full output: turn down at the first distress`,
          ]
        : []),
    ],
    output: 'subwoofer',
    type: 'high-pass',
    cornerHz,
    slopeDbPerOctave: Math.min(USUAL_SLOPE, amplifier?.highPass?.slopeDbPerOctave ?? USUAL_SLOPE),
    shortfall: shortfallOf(amplifier, 'high-pass', cornerHz),
  };
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

function commonSlope(context: PlanContext, outputs: readonly Output[]): number {
  const slopes = outputs.flatMap((output) => {
    const amplifier = amplifierOf(context, output);
    const ability = output === 'subwoofer' ? amplifier?.lowPass : amplifier?.highPass;
    return ability == null ? [] : [ability.slopeDbPerOctave];
  });
  return Math.min(USUAL_SLOPE, ...slopes);
}

function amplifierOf({ equipment }: PlanContext, output: Output): Amplifier | undefined {
  return equipment?.amplifiers.find(({ feeds }) => feeds.includes(output));
}

function shortfallOf(
  amplifier: Amplifier | undefined,
  type: Filter['type'],
  cornerHz: number,
): string | null {
  if (amplifier === undefined) return null;
  const ability = type === 'high-pass' ? amplifier.highPass : amplifier.lowPass;
  if (ability === null) return `${amplifier.name} is given without a ${type}`;
  const [from, to] = ability.rangeHz;
  return cornerHz < from || cornerHz > to ? `${amplifier.name} reaches ${from} to ${to} Hz` : null;
}

function reasonsFor(type: Filter['type'], cornerHz: number): string[] {
  return [
    type === 'high-pass'
      ? `bass below ${cornerHz} Hz is the subwoofer’s; without it the mains play louder and cleaner`
      : `above ${cornerHz} Hz the subwoofer would be heard as coming from behind`,
    'same corner and slope on both sides of the hand-over, then check the polarity at the seat',
  ];
}

/** What the radio itself does to the two; the cabin and the filters have the last word. */
function polarityReasons(
  context: PlanContext,
  { sub, feeds, cornerHz }: { sub: Feed; feeds: readonly Feed[]; cornerHz: number },
): string[] {
  const mains = feeds.find(({ output }) => output !== 'subwoofer');
  const found = mains === undefined ? null : subwooferPolarity(context, { sub, mains, handOverHz: cornerHz });
  if (found === null)
    return [
      'how the radio turns subwoofer and mains against each other is not known: they were not recorded together',
    ];
  const angle = `at the radio’s outputs they stand ${Math.round(found.phaseDegrees)} degrees apart around ${cornerHz} Hz`;
  return [
    found.startWith === 'either'
      ? `${angle}: the seat decides which polarity is fuller`
      : `${angle}: start with the subwoofer ${found.startWith}`,
  ];
}
