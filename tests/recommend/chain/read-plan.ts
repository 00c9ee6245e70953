import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import type { Plan } from '../../../src/recommend/plan.ts';

export function toneKey({ toneHz, driveDbFs }: { toneHz: number; driveDbFs: number }): string {
  return `${toneHz} Hz, ${driveDbFs} dBFS`;
}

export function loadOf(
  { woofer, speakers }: EquipmentInput,
  output: string,
): { ohms: number; watts: number | null } | null {
  if (output === 'subwoofer')
    return woofer == null
      ? null
      : {
          ohms: woofer.ohms ?? 4,
          watts: woofer.ratedWatts === undefined ? null : woofer.ratedWatts * (woofer.count ?? 1),
        };
  const speaker = speakers?.find(({ feeds }) => feeds === output);
  return speaker === undefined ? null : { ohms: speaker.ohms ?? 4, watts: speaker.ratedWatts ?? null };
}

export function voltsOf(plan: Plan, output: string, kind: string): number | null {
  const node = plan.chain.feeds
    .find((feed) => feed.output === output)
    ?.nodes.find((one) => one.kind === kind);
  return node === undefined || isNotMeasurable(node.voltsRms) ? null : node.voltsRms.value;
}
