import { ladderSpreadDb } from '../measure/take-facts.ts';
import type { Finding } from '../model/finding.ts';
import { notMeasurable } from '../model/measured.ts';
import type { TapMeasurement } from '../model/measurement.ts';

/** Gains of the ladder's clean steps further apart than this are no wander (common practice). */
const FOLLOWS_DB = 3;
/** A radio that compresses before its volume control does so by the same at every setting. */
const SAME_DB = 0.5;

const REASON =
  'the gain follows the level even at the lowest setting: the recorder’s automatic gain, or a limiter of the radio over the whole band';
const NEXT_STEP =
  'switch the recorder’s automatic gain off and record again; if it stays so, record a lower setting';

/**
 * Whether the gain of a tap follows the level by itself: it differs between quiet and loud steps from the lowest setting
 * on, and not alike at all of them. A limiter behind the volume control leaves the lowest settings alone, one before it
 * takes the same at all of them.
 *
 * @param spreads of the 997 Hz ladder's gains at each setting, decibels; null without a ladder
 */
export function followsLevel(spreads: readonly { setting: number; spreadDb: number | null }[]): boolean {
  const known = spreads
    .flatMap(({ setting, spreadDb }) => (spreadDb === null ? [] : [{ setting, spreadDb }]))
    .sort((one, other) => one.setting - other.setting);
  if (known.length === 0 || known[0].spreadDb <= FOLLOWS_DB) return false;
  const all = known.map(({ spreadDb }) => spreadDb);
  return known.length === 1 || Math.max(...all) - Math.min(...all) > SAME_DB;
}

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
          .map(({ setting, ladders }) => ({ setting, spreadDb: ladderSpreadDb(ladders) })),
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
      return [
        { ...finding, verdict: 'cannot be told', reason: REASON, lowEdge: null, highEdge: null, fixedEq: [] },
      ];
    case 'clipping':
      return [
        {
          ...finding,
          perSetting: finding.perSetting.map(({ setting }) => ({
            setting,
            driveDbFs: answer,
            voltsRms: answer,
          })),
          place: 'cannot be told',
          highestCleanRecorded: null,
          firstClippingRecorded: null,
          highestCleanComputed: null,
        },
      ];
    case 'routing':
    case 'timing':
    case 'recorder-clipping':
      return [finding];
    // Limiters, crossovers, loudness, volume law, rail, noise and ceiling rest on levels.
    default:
      return [];
  }
}
