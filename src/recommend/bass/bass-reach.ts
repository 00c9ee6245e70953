import { decibelsOfPower } from '../../dsp/decibels.ts';
import type { Woofer } from '../../model/equipment.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { SolvedFeed } from '../chain/solved-feed.ts';
import { filterLossDb, type PlannedFilter } from '../filters/filter-loss.ts';
import type { PlanContext } from '../plan-context.ts';
import {
  type ClosedBox,
  closedBox,
  closedBoxDb,
  ONE_ACOUSTIC_WATT_DB,
  referenceEfficiency,
} from './closed-box.ts';
import { lowestHzAt, travelLimitedDb, volumeCm3Peak } from './displacement.ts';

export type BassReach = AdviceOf<'bass-reach'>;

/** Third octaves of the bass (IEC 61260-1). */
const STATED_HZ = [20, 25, 31.5, 40, 50, 63, 80] as const;
/** Bass is felt in the chest from about this level at 40 Hz on (common practice). */
const FELT_DB = 105;
const FELT_HZ = 40;

/**
 * What the woofer can do before it is bought, all of `count` together: the lesser of what its travel and what the amplifier's
 * watts in its box allow, less what the high-pass that is advised takes away. Where the box is not known, or is ported,
 * travel alone is counted, and said to be. Nothing is said of a woofer that no feed plays.
 */
export function bassReach(
  { equipment }: PlanContext,
  chains: readonly SolvedFeed[],
  highPass: PlannedFilter | null = null,
): BassReach[] {
  const woofer = equipment?.woofer;
  if (woofer == null || !chains.some(({ output }) => output === 'subwoofer')) return [];
  const volumeCm3 = volumeCm3Peak(woofer);
  const box = boxOf(woofer);
  const played: Played = { woofer, volumeCm3, watts: subwooferWatts(chains), highPass };
  const tuningHz = woofer.box === 'ported' ? woofer.tuningHz : undefined;
  const travelLimitsBelowHz = tuningHz ?? travelLimit(played);
  // Below its tuning a port carries nothing and holds nothing.
  const lowestHzAtTarget =
    REACH_HZ.find((hz) => hz >= (tuningHz ?? 0) && levelDb(played, hz) >= woofer.targetDb) ?? null;
  const byTravelHz = Math.max(lowestHzAt({ volumeCm3, levelDb: woofer.targetDb }), SEARCHED_HZ[0]);
  const isPowerKnown = box !== null && played.watts !== null;
  const felt = levelDb(played, FELT_HZ) >= FELT_DB;
  return [
    {
      kind: 'bass-reach',
      id: 'bass-reach',
      restsOn: [],
      reasons: reasonsFor({ ...played, travelLimitsBelowHz, felt, isPowerKnown }),
      woofer: woofer.name,
      counted: countedOf(woofer, isPowerKnown),
      volumeCm3Peak: volumeCm3,
      targetDb: woofer.targetDb,
      lowestHzAtTarget: lowestHzAtTarget ?? byTravelHz,
      reachesTarget: lowestHzAtTarget !== null,
      box: box === null ? null : statedBox(box),
      limits: STATED_HZ.map((frequencyHz) => ({
        frequencyHz,
        travelLimitedDb: travelLimitedDb({ volumeCm3, frequencyHz }),
      })),
      travelLimitsBelowHz,
      felt,
    },
  ];
}

/** A woofer in its box behind its amplifier. */
interface Played {
  readonly woofer: Woofer;
  readonly volumeCm3: number;
  /** Of a sine, all woofers together; null where the amplifier or its load is not known. */
  readonly watts: number | null;
  readonly highPass: PlannedFilter | null;
}

function subwooferWatts(chains: readonly SolvedFeed[]): number | null {
  const sub = chains.find(({ output }) => output === 'subwoofer');
  if (sub === undefined || sub.levels.outputVolts === null) return null;
  return sub.levels.outputVolts ** 2 / sub.load.load.ohms;
}

/** The most that it plays at a frequency, dB at 1 m. */
function levelDb({ woofer, volumeCm3, watts, highPass }: Played, frequencyHz: number): number {
  const byTravel = travelLimitedDb({ volumeCm3, frequencyHz });
  const byPower = watts === null ? null : powerLimitedDb({ woofer, watts, frequencyHz });
  if (byPower === null) return byTravel;
  // The filter takes from what the amplifier gives; it leaves the cone its travel.
  const lossDb = highPass === null ? 0 : filterLossDb({ ...highPass, toneHz: frequencyHz }).leastDb;
  return Math.min(byTravel, byPower - lossDb);
}

function countedOf({ box }: Woofer, isPowerKnown: boolean): BassReach['counted'] {
  if (isPowerKnown) return 'travel, power and box';
  return box === 'ported' ? 'travel, ported box' : 'travel';
}

function statedBox({ resonanceHz, q, minus3Hz, peakDb }: ClosedBox): BassReach['box'] {
  return { resonanceHz, q, minus3Hz, peakDb };
}

function reasonsFor(
  of: Played & { travelLimitsBelowHz: number | undefined; felt: boolean; isPowerKnown: boolean },
): Reason[] {
  const { woofer, volumeCm3, travelLimitsBelowHz, felt, highPass, isPowerKnown } = of;
  return [
    { code: 'cones move', cm3: volumeCm3, count: woofer.count },
    ...(felt && !isPowerKnown
      ? []
      : [{ code: felt ? ('bass is felt' as const) : ('bass fills in' as const) }]),
    ...(travelLimitsBelowHz === undefined
      ? []
      : [{ code: 'travel ends below' as const, hz: travelLimitsBelowHz }]),
    ...(highPass === null ? [] : [{ code: 'high-pass counted in' as const, cornerHz: highPass.cornerHz }]),
    ...(isPowerKnown
      ? []
      : woofer.box === 'ported'
        ? [{ code: 'ported box' as const, tuningHz: woofer.tuningHz ?? null }]
        : [{ code: 'box not known' as const }]),
  ];
}

/** Fine enough to be printed with two digits. */
const REACH_HZ = Array.from({ length: 901 }, (_, i) => 10 + i / 10);
/** Where travel is looked at: below the hand-over, down to what programme holds. */
const SEARCHED_HZ = Array.from({ length: 86 }, (_, i) => 100 - i);

/** The highest frequency at which the box would play louder at this power than its cones' travel allows. */
function travelLimit({ woofer, volumeCm3, watts }: Played): number | undefined {
  if (watts === null) return undefined;
  return SEARCHED_HZ.find((frequencyHz) => {
    const byPower = powerLimitedDb({ woofer, watts, frequencyHz });
    return byPower !== null && byPower > travelLimitedDb({ volumeCm3, frequencyHz });
  });
}

/** Level at 1 m of all the woofers with these watts between them; null where the box is not known. */
function powerLimitedDb({
  woofer,
  watts,
  frequencyHz,
}: {
  woofer: Woofer;
  watts: number;
  frequencyHz: number;
}): number | null {
  const box = boxOf(woofer);
  const { resonanceHz, qts, vasLitres, count } = woofer;
  if (box === null || resonanceHz === undefined || qts === undefined || vasLitres === undefined) return null;
  // Alike and close together they add in pressure: each further one counts as much again.
  const acousticWatts = watts * count * referenceEfficiency({ resonanceHz, qts, vasLitres });
  return ONE_ACOUSTIC_WATT_DB + decibelsOfPower(acousticWatts) + closedBoxDb(box, frequencyHz);
}

function boxOf({ box, resonanceHz, qts, vasLitres, boxLitres }: Woofer): ClosedBox | null {
  if (box === 'ported') return null;
  if (resonanceHz === undefined || qts === undefined || vasLitres === undefined || boxLitres === undefined)
    return null;
  return closedBox({ resonanceHz, qts, vasLitres, boxLitres });
}
