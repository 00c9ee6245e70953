import { followsLevel } from '../../measure/recorder/follows-level.ts';
import { ladderSpreadDb } from '../../measure/take-facts.ts';
import type { Doubt } from '../../model/doubt.ts';
import type { TapMeasurement } from '../../model/measurement.ts';

/** A doubt for each tap whose gain followed the level by itself. */
export function automaticGainDoubts(measurements: readonly TapMeasurement[]): Doubt[] {
  const tapIds = [...new Set(measurements.map(({ tapId }) => tapId))].filter((id) =>
    followsLevel(
      measurements
        // A recorder that clips holds the sweeps down, and lifts nothing.
        .filter(({ tapId, recorder }) => tapId === id && recorder.clippedRuns === 0)
        .map(({ setting, ladders, leadInExcessDb = null }) => ({
          setting,
          spreadDb: ladderSpreadDb(ladders),
          leadInExcessDb,
        })),
    ),
  );
  return tapIds.length === 0
    ? []
    : [{ kind: 'gain', reason: { code: 'gain follows the level by itself' }, tapIds, settings: null }];
}
