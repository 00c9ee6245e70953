import type { FilterFamily } from '../filter-prototype.ts';
import { edgeTable, TABLE_REACH, TABLE_STEP } from './edge-table.ts';
import type { EdgeShape } from './filter-terms.ts';

/** Half the power. */
const LN_MINUS_3_DB = -0.5 * Math.LN2;

/** Frequency of the half-power point over the corner: 1 but for Linkwitz-Riley (0.644, 0.802, 0.897 for a low-pass of order 2, 4, 8). */
export function minus3PerCorner({ family, order, side }: EdgeShape): number {
  const key = `${family} ${order}`;
  const lowPass = ratios.get(key) ?? lowPassRatio(family, order);
  ratios.set(key, lowPass);
  return side === 'low-pass' ? lowPass : 1 / lowPass;
}

export function cornerPerMinus3(edge: EdgeShape): number {
  return 1 / minus3PerCorner(edge);
}

const ratios = new Map<string, number>();

function lowPassRatio(family: FilterFamily, order: number): number {
  const { lnMagnitude } = edgeTable(family, order);
  const after = lnMagnitude.findIndex((value) => value < LN_MINUS_3_DB);
  const part = (lnMagnitude[after - 1] - LN_MINUS_3_DB) / (lnMagnitude[after - 1] - lnMagnitude[after]);
  return Math.exp((after - 1 + part) * TABLE_STEP - TABLE_REACH);
}
