/** Gains of the ladder's clean steps further apart than this are no wander (common practice). */
const FOLLOWS_DB = 3;
/** A radio that compresses before its volume control does so by the same at every setting. */
const SAME_DB = 0.5;
/**
 * The response-only track has no ladder, but a lead-in that is 22 dB quieter than its sweeps. Outputs at 30 dB SNR read within
 * 0.5 dB (tests/faults); a room may lift both of its tones, but by the same at every setting.
 */
const LEAD_IN_LIFTED_DB = 1.5;
const LEAD_IN_MOVES_DB = 2;
const LEAD_IN_BEYOND_ROOMS_DB = 6;

/** What one take of a tap says of gain that follows the level. */
interface LevelSigns {
  readonly setting: number;
  /** Of the 997 Hz ladder's gains, decibels; null without a ladder. */
  readonly spreadDb: number | null;
  readonly leadInExcessDb: number | null;
}

/**
 * Whether the gain of a tap follows the level by itself: it differs between quiet and loud steps from the lowest setting
 * on, and not alike at all of them. A limiter behind the volume control leaves the lowest settings alone, one before it
 * takes the same at all of them.
 */
export function followsLevel(takes: readonly LevelSigns[]): boolean {
  return followsAlongLadders(takes) || liftsLeadIns(takes);
}

function liftsLeadIns(takes: readonly LevelSigns[]): boolean {
  const excesses = takes.flatMap(({ spreadDb, leadInExcessDb }) =>
    spreadDb === null && leadInExcessDb !== null ? [leadInExcessDb] : [],
  );
  const most = Math.max(...excesses);
  return (
    most > LEAD_IN_BEYOND_ROOMS_DB ||
    (most > LEAD_IN_LIFTED_DB && most - Math.min(...excesses) > LEAD_IN_MOVES_DB)
  );
}

function followsAlongLadders(takes: readonly LevelSigns[]): boolean {
  const known = takes
    .flatMap(({ setting, spreadDb }) => (spreadDb === null ? [] : [{ setting, spreadDb }]))
    .sort((one, other) => one.setting - other.setting);
  if (known.length === 0 || known[0].spreadDb <= FOLLOWS_DB) return false;
  const all = known.map(({ spreadDb }) => spreadDb);
  return known.length === 1 || Math.max(...all) - Math.min(...all) > SAME_DB;
}
