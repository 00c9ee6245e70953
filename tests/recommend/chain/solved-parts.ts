import type { ChainFeed, ChainNode } from '../../../src/model/chain.ts';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { chainNodes, clipsFirst } from '../../../src/recommend/chain/chain-nodes.ts';
import { contextOf, solvedOf } from './context.ts';

export const dB = (ratio: number) => 20 * Math.log10(ratio);
export const FULL = Math.sqrt(75 * 4);
export const CONVERTER = {
  inputs: 4,
  inputLimitVoltsRms: 20,
  outputLimitVoltsRms: 4,
  gainRangeDb: [-30, 6],
  restoration: { kind: 'dynamic', maximumDb: 12 },
};
export const parts = (amplifier: object = {}, more: object = {}) =>
  ({
    converter: CONVERTER,
    amplifiers: [{ name: 'mains', feeds: ['front', 'subwoofer'], ratedWatts: 75, ...amplifier }],
    speakers: [{ name: 'door', feeds: 'front', ratedWatts: 100 }],
    ...more,
  }) as unknown as EquipmentInput;
export const volts = (node: ChainNode | undefined) =>
  node !== undefined && 'value' in node.voltsRms ? node.voltsRms.value : Number.NaN;

export function solve(of: Parameters<typeof contextOf>[0] = {}, wanted: Parameters<typeof solvedOf>[1] = {}) {
  const context = contextOf({ equipment: parts(), ...of });
  const solved = solvedOf(context, wanted);
  const nodes = chainNodes(solved, { radioHeadroomDb: 1, knob: solved.knob! });
  const node = (kind: ChainNode['kind']) => nodes.find((one) => one.kind === kind);
  const feed = {
    noGains: [],
    conditions: [],
    filters: [],
    nodes,
    clipsFirst: clipsFirst(nodes),
  } as unknown as ChainFeed;
  return { context, solved, nodes, node, feed };
}
