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

function subwooferWatts(chains: readonly SolvedFeed[]): number | null {
  const sub = chains.find(({ output }) => output === 'subwoofer');
  if (sub === undefined || sub.levels.outputVolts === null) return null;
  return sub.levels.outputVolts ** 2 / sub.load.load.ohms;
}

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
  const watts = subwooferWatts(chains);
  const tuningHz = woofer.box === 'ported' ? woofer.tuningHz : undefined;
  const travelLimitsBelowHz =
    tuningHz ?? (watts === null ? undefined : travelLimit({ woofer, volumeCm3, watts }));
  const level = (frequencyHz: number) => {
    const byTravel = travelLimitedDb({ volumeCm3, frequencyHz });
    const byPower = watts === null ? null : powerLimitedDb({ woofer, watts, frequencyHz });
    const lossDb = highPass === null ? 0 : filterLossDb({ ...highPass, toneHz: frequencyHz }).leastDb;
    // The filter takes from what the amplifier gives; it leaves the cone its travel.
    return byPower === null ? byTravel : Math.min(byTravel, byPower - lossDb);
  };
  const lowestHz = lowestHzAt({ volumeCm3, levelDb: woofer.targetDb });
  // Below its tuning a port carries nothing and holds nothing.
  const lowestHzAtTarget =
    REACH_HZ.find((hz) => hz >= (tuningHz ?? 0) && level(hz) >= woofer.targetDb) ?? null;
  const isPowerKnown = box !== null && watts !== null;
  const felt = level(FELT_HZ) >= FELT_DB;
  return [
    {
      kind: 'bass-reach',
      id: 'bass-reach',
      restsOn: [],
      reasons: reasonsFor({
        woofer,
        volumeCm3,
        travelLimitsBelowHz,
        felt,
        highPass,
        isPowerKnown,
      }),
      woofer: woofer.name,
      counted: isPowerKnown
        ? 'travel, power and box'
        : woofer.box === 'ported'
          ? 'travel, ported box'
          : 'travel',
      volumeCm3Peak: volumeCm3,
      targetDb: woofer.targetDb,
      lowestHzAtTarget: lowestHzAtTarget ?? Math.max(lowestHz, SEARCHED_HZ[0]),
      reachesTarget: lowestHzAtTarget !== null,
      box:
        box === null
          ? null
          : { resonanceHz: box.resonanceHz, q: box.q, minus3Hz: box.minus3Hz, peakDb: box.peakDb },
      limits: STATED_HZ.map((frequencyHz) => ({
        frequencyHz,
        travelLimitedDb: travelLimitedDb({ volumeCm3, frequencyHz }),
      })),
      travelLimitsBelowHz,
      felt,
    },
  ];
}

function reasonsFor(of: {
  woofer: Woofer;
  volumeCm3: number;
  travelLimitsBelowHz: number | undefined;
  felt: boolean;
  highPass: PlannedFilter | null;
  isPowerKnown: boolean;
}): Reason[] {
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
function travelLimit({
  woofer,
  volumeCm3,
  watts,
}: {
  woofer: Woofer;
  volumeCm3: number;
  watts: number;
}): number | undefined {
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
