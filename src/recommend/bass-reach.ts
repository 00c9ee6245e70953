import type { Woofer } from '../model/equipment.ts';
import type { RecommendationOf } from '../model/recommendation.ts';
import { type ClosedBox, closedBox } from './closed-box.ts';
import { lowestHzAt, travelLimitedDb, volumeCm3Peak } from './displacement.ts';
import type { PlanContext } from './plan-context.ts';

const STATED_HZ = [20, 25, 31.5, 40, 50, 63, 80] as const;
/** Bass is felt in the chest from about this level at 40 Hz on (common practice). */
const FELT_DB = 105;
const FELT_HZ = 40;

/** What the woofer can do before it is bought: displacement says it, watts do not. */
export function bassReach({ equipment }: PlanContext): RecommendationOf<'bass-reach'>[] {
  const woofer = equipment?.woofer;
  if (woofer == null) return [];
  const volumeCm3 = volumeCm3Peak(woofer);
  const box = boxOf(woofer);
  const lowestHz = lowestHzAt({ volumeCm3, levelDb: woofer.targetDb });
  const felt = travelLimitedDb({ volumeCm3, frequencyHz: FELT_HZ }) >= FELT_DB;
  return [
    {
      kind: 'bass-reach',
      id: 'bass-reach',
      order: 0,
      restsOn: [],
      reasons: [
        `its cones move ${Math.round(volumeCm3)} cm3: ${woofer.targetDb} dB down to ${Math.round(lowestHz)} Hz at 1 m before the cabin adds to it`,
        felt
          ? 'enough to be felt, not only heard'
          : 'it fills in the sound and no more: what is felt needs more cone area or travel',
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
      felt,
    },
  ];
}

function boxOf({ resonanceHz, qts, vasLitres, boxLitres }: Woofer): ClosedBox | null {
  if (resonanceHz === undefined || qts === undefined || vasLitres === undefined || boxLitres === undefined)
    return null;
  return closedBox({ resonanceHz, qts, vasLitres, boxLitres });
}
