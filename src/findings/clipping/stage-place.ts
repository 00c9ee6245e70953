/** Where a limiting stage sits against the volume control. */
type StagePlace = 'before the volume control' | 'after the volume control' | 'cannot be told';

/** Where one setting's limit was met: the drive in the track, and the level in the recording. */
export interface LimitPoint {
  readonly setting: number;
  readonly driveDbFs: number;
  readonly levelDbFs: number;
  readonly sigmaDb: number;
}

/** Settings must differ by this much gain, or fixed drive and fixed level look alike. */
const FEWEST_GAIN_DB = 1.5;
/** A fixed limit stays within this over the settings (supply sag is a few tenths), or within its noise. */
const FIXED_WITHIN_DB = 0.6;
const SIGNIFICANT = 3;

/**
 * Before the volume control a limit is met at one drive whatever the setting, behind it at one level. That takes two
 * settings at which it is met and that differ in gain.
 */
export function stagePlace(points: readonly LimitPoint[]): StagePlace {
  if (points.length < 2) return 'cannot be told';
  const driveSpread = spread(points.map(({ driveDbFs }) => driveDbFs));
  const levelSpread = spread(points.map(({ levelDbFs }) => levelDbFs));
  const gainSpread = spread(points.map(({ driveDbFs, levelDbFs }) => levelDbFs - driveDbFs));
  const noise = SIGNIFICANT * Math.SQRT2 * Math.max(...points.map(({ sigmaDb }) => sigmaDb));
  const fixed = Math.max(FIXED_WITHIN_DB, noise);
  if (gainSpread < FEWEST_GAIN_DB + noise) return 'cannot be told';
  if (levelSpread <= fixed && levelSpread < driveSpread) return 'after the volume control';
  if (driveSpread <= fixed && driveSpread < levelSpread) return 'before the volume control';
  return 'cannot be told';
}

function spread(values: readonly number[]): number {
  return Math.max(...values) - Math.min(...values);
}
