import { frequencies, type TrueTap } from './true-tap.ts';

const SEARCHED_HZ = [4, 20_000] as const;
/** What counts as the pass band: where the edges themselves take least, within a decibel. */
const PASS_BAND_LOSS_DB = 1;

/**
 * Where a tap's response, fixed EQ and all, leaves its pass band for good by `dropDb`: outermost crossing, against the highest
 * level that its crossover lets through, plus the median over the pass band of what EQ adds there. Null where it has no filter on that side.
 */
export function measuredEdgeHz(
  { tap, fixedDb, edgeDb, bandHz }: TrueTap,
  { side, dropDb }: { side: 'low' | 'high'; dropDb: number },
): number | null {
  const filterSide = side === 'low' ? 'high-pass' : 'low-pass';
  if (!tap.crossover.some((filter) => filter.side === filterSide)) return null;
  const band = frequencies(...bandHz);
  const highest = Math.max(...band.map(edgeDb));
  // A single filter lets everything through far from its corner, even where the recording ends before that.
  const letThrough = tap.crossover.length > 1 ? highest : 0;
  const levels = band
    .filter((hz) => edgeDb(hz) >= highest - PASS_BAND_LOSS_DB)
    .map((hz) => fixedDb(hz) - edgeDb(hz))
    .sort((one, other) => one - other);
  const thresholdDb = letThrough + levels[levels.length >> 1] - dropDb;
  const outwards = side === 'low' ? frequencies(...SEARCHED_HZ) : frequencies(...SEARCHED_HZ).reverse();
  const inside = outwards.findIndex((hz) => fixedDb(hz) >= thresholdDb);
  if (inside < 1) return null;
  let [outer, inner] = [outwards[inside - 1], outwards[inside]];
  for (let i = 0; i < 40; i++) {
    const middle = Math.sqrt(outer * inner);
    if (fixedDb(middle) >= thresholdDb) inner = middle;
    else outer = middle;
  }
  return inner;
}
