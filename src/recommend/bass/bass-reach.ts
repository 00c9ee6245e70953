import type { Woofer } from '../../model/equipment.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import type { SolvedFeed } from '../chain/solved-feed.ts';
import type { PlanContext } from '../plan-context.ts';
import {
  type ClosedBox,
  closedBox,
  closedBoxDb,
  ONE_ACOUSTIC_WATT_DB,
  referenceEfficiency,
} from './closed-box.ts';
import { lowestHzAt, travelLimitedDb, volumeCm3Peak } from './displacement.ts';

export type BassReach = RecommendationOf<'bass-reach'>;

function subwooferWatts(chains: readonly SolvedFeed[]): number | null {
  const sub = chains.find(({ output }) => output === 'subwoofer');
  if (sub === undefined || sub.levels.outputVolts === null) return null;
  return sub.levels.outputVolts ** 2 / sub.load.load.ohms;
}

const STATED_HZ = [20, 25, 31.5, 40, 50, 63, 80] as const;
/** Bass is felt in the chest from about this level at 40 Hz on (common practice). */
const FELT_DB = 105;
const FELT_HZ = 40;

/** What the woofer can do before it is bought: displacement says it, watts do not. */
export function bassReach({ equipment }: PlanContext, chains: readonly SolvedFeed[]): BassReach[] {
  const woofer = equipment?.woofer;
  if (woofer == null) return [];
  const volumeCm3 = volumeCm3Peak(woofer);
  const box = boxOf(woofer);
  const watts = subwooferWatts(chains);
  const travelLimitsBelowHz = watts === null ? undefined : travelLimit({ woofer, volumeCm3, watts });
  const lowestHz = lowestHzAt({ volumeCm3, levelDb: woofer.targetDb });
  const felt = travelLimitedDb({ volumeCm3, frequencyHz: FELT_HZ }) >= FELT_DB;
  return [
    {
      kind: 'bass-reach',
      id: 'bass-reach',
      order: 0,
      restsOn: [],
      reasons: [
        `its cones move ${Math.round(volumeCm3)} cm³: ${woofer.targetDb} dB down to ${Math.round(lowestHz)} Hz at 1 m before the cabin adds to it`,
        felt
          ? 'enough to be felt, not only heard'
          : 'it fills in the sound and no more: what is felt needs more cone area or travel',
        ...(travelLimitsBelowHz === undefined
          ? []
          : [
              `at full output its cones run out of travel below ${travelLimitsBelowHz} Hz: full output is not to be had there`,
            ]),
        ...(box !== null && box.minus3Hz > lowestHz
          ? [`the box rolls off from ${Math.round(box.minus3Hz)} Hz: more power is needed below it`]
          : []),
      ],
      woofer: woofer.name,
      volumeCm3Peak: volumeCm3,
      targetDb: woofer.targetDb,
      lowestHzAtTarget: lowestHz,
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

/** Where travel is looked at: below the hand-over, down to what programme holds. */
const SEARCHED_HZ = Array.from({ length: 81 }, (_, i) => 100 - i);

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
  const box = boxOf(woofer);
  const { resonanceHz, qts, vasLitres } = woofer;
  if (box === null || resonanceHz === undefined || qts === undefined || vasLitres === undefined)
    return undefined;
  const acousticWatts = watts * woofer.count * referenceEfficiency({ resonanceHz, qts, vasLitres });
  const passBandDb = ONE_ACOUSTIC_WATT_DB + 10 * Math.log10(acousticWatts);
  return SEARCHED_HZ.find(
    (frequencyHz) => passBandDb + closedBoxDb(box, frequencyHz) > travelLimitedDb({ volumeCm3, frequencyHz }),
  );
}

function boxOf({ resonanceHz, qts, vasLitres, boxLitres }: Woofer): ClosedBox | null {
  if (resonanceHz === undefined || qts === undefined || vasLitres === undefined || boxLitres === undefined)
    return null;
  return closedBox({ resonanceHz, qts, vasLitres, boxLitres });
}
