import { valueAt } from '../../model/frequency-grid.ts';
import type { CodedReason } from '../../model/reason.ts';
import { MOST_RESTORATION_DB } from '../bass/restoration-limit.ts';
import { measurementsOf, tapLevelDb } from '../chain/tap-level.ts';
import type { PlanContext, TapRole } from '../plan-context.ts';
import { type Band, indexRange, middleLevelDb } from './flatness.ts';

/** Bass is looked for here: the middle of what a subwoofer plays (common practice). */
const BASS_HZ = 50;
const WHOLE_BAND_HZ: Band = [20, 20_000];

export type NoBass = Extract<CodedReason, { code: 'no output carries bass' }>;

/**
 * Says how little bass there is where no output carries more of it than restoration could bring back, at whatever setting;
 * null where one does, and where nothing was measured.
 */
export function noBassSource(context: PlanContext): NoBass | null {
  const taps = context.taps.filter(({ unfit, output }) => unfit === null && output !== 'centre');
  const each = taps.map((tap) => ({ tap, downDb: mostBassDb(context, tap) }));
  const deepest = each.toSorted((a, b) => b.downDb - a.downDb)[0];
  if (deepest === undefined || deepest.downDb >= -MOST_RESTORATION_DB) return null;
  return {
    code: 'no output carries bass',
    tapId: deepest.tap.tapId,
    belowDb: -deepest.downDb,
    atHz: BASS_HZ,
    fromHz: lowEdgeHz(taps),
  };
}

/** Level of the bass against the middle of what the tap carries, at the setting at which most of it is there. */
function mostBassDb(context: PlanContext, { tapId }: TapRole): number {
  const each = context.session.settings.flatMap((setting) =>
    measurementsOf(context, tapId, setting).map((measurement) => {
      const levelDb = tapLevelDb(measurement);
      return valueAt(levelDb, BASS_HZ) - middleLevelDb(levelDb, indexRange(WHOLE_BAND_HZ));
    }),
  );
  return Math.max(...each);
}

/** The lowest edge that was found; null where none was. */
function lowEdgeHz(taps: readonly TapRole[]): number | null {
  const edges = taps.flatMap(({ band }) => {
    const edge = band?.lowEdge?.minus3Hz;
    return edge !== undefined && 'value' in edge ? [edge.value] : [];
  });
  return edges.length === 0 ? null : Math.min(...edges);
}
