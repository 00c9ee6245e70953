import { followsLevel } from '../../measure/recorder/follows-level.ts';
import { ladderSpreadDb } from '../../measure/take-facts.ts';
import type { Finding } from '../../model/finding.ts';
import { notMeasurable } from '../../model/measured.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import { bandWithheld, clippingWithheld } from './withheld.ts';

const REASON =
  'the gain follows the level even at the lowest setting: the recorder’s automatic gain, or a limiter of the radio over the whole band';
const NEXT_STEP =
  'switch the recorder’s automatic gain off and record again; if it stays so, record a lower setting';

/** Findings of taps whose gain followed the level: levels, bass, bands and clipping are withheld, timing and routing stay. */
export function withheldFromAutomaticGain(
  findings: readonly Finding[],
  measurements: readonly TapMeasurement[],
): Finding[] {
  const tapIds = new Set(measurements.map(({ tapId }) => tapId));
  const spoilt = new Set(
    [...tapIds].filter((id) =>
      followsLevel(
        measurements
          .filter(({ tapId }) => tapId === id)
          .map(({ setting, ladders, leadInExcessDb = null }) => ({
            setting,
            spreadDb: ladderSpreadDb(ladders),
            leadInExcessDb,
          })),
      ),
    ),
  );
  return spoilt.size === 0
    ? [...findings]
    : findings.flatMap((finding) =>
        finding.tapIds.some((id) => spoilt.has(id)) ? withheld(finding) : [finding],
      );
}

function withheld(finding: Finding): Finding[] {
  const answer = notMeasurable(REASON, NEXT_STEP);
  switch (finding.kind) {
    case 'bass-change':
      return [
        {
          ...finding,
          verdict: 'cannot be told',
          reason: REASON,
          plateauSettings: [],
          changes: [],
          onset: null,
          shape: null,
          recordNext: null,
        },
      ];
    case 'band':
      return [bandWithheld(finding, REASON)];
    case 'clipping':
      return [clippingWithheld(finding, answer)];
    case 'routing':
    case 'timing':
    case 'recorder-clipping':
      return [finding];
    // Limiters, crossovers, loudness, volume law, rail, noise and ceiling rest on levels.
    default:
      return [];
  }
}
