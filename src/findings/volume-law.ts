import type { FindingOf } from '../model/finding.ts';
import { gridFrequencyHz, MIDDLE_HZ } from '../model/frequency-grid.ts';
import { isNotMeasurable } from '../model/measured.ts';
import { FEWEST_MIDDLE_POINTS, type LevelProfile, meanLevel, strongPoints } from './bass/level-profile.ts';
import { COVERAGE } from './coverage.ts';
import { evidenceOf, type TapSeries } from './tap-series.ts';
import { tapVoltsRms } from './tap-volts.ts';

/** Where a tap has no middle: its band within this of its strongest, above the bass that may change if there is enough of it. */
const BAND_DB = 6;
const ABOVE_BASS_HZ = [150, 20_000] as const;
/** A middle that is all there is the tap's own even below bass that loudness and tone control lift by some 12 dB together. */
const WHOLE_MIDDLE_DOWN_DB = 20;
const WHOLE_MIDDLE_POINTS = 150;
/** A middle this far below the tap's strongest is not its band. */
const MIDDLE_TOO_FAR_DOWN_DB = 10;
/** A tap whose level stays within this, and its noise, does not follow the volume. */
const CONSTANT_DB = 1;
const SIGNIFICANT = 4;

/** Level of a tap at each setting for a full-scale drive that does not clip, and whether it follows the volume at all. */
export function findVolumeLaw(series: TapSeries): FindingOf<'volume-law'> | null {
  const takes = series.takes.filter(
    ({ linear, profile }) => !isNotMeasurable(linear) && profile.trustedHz !== null,
  );
  const points = levelPoints(takes.map(({ profile }) => profile));
  if (points.length === 0) return null;
  const levels = takes.map(({ measurement, profile }) => {
    const { value, sigma } = meanLevel(profile, points);
    const voltsRms = tapVoltsRms(measurement, { levelDbFs: value, plusMinusDb: COVERAGE * sigma });
    return { setting: measurement.setting, levelDbFs: value, voltsRms, sigma };
  });
  const values = levels.map(({ levelDbFs }) => levelDbFs);
  const noise = SIGNIFICANT * Math.max(...levels.map(({ sigma }) => sigma));
  return {
    kind: 'volume-law',
    id: `volume-law:${series.tap.id}`,
    tapIds: [series.tap.id],
    evidence: evidenceOf(takes),
    levels: levels.map(({ setting, levelDbFs, voltsRms }) => ({ setting, levelDbFs, voltsRms })),
    dbPerStep: medianSlope(levels),
    followsVolume: levels.length < 2 || Math.max(...values) - Math.min(...values) > CONSTANT_DB + noise,
  };
}

/** Grid points at which the level is read at every setting. */
function levelPoints(profiles: readonly LevelProfile[]): number[] {
  const strong = (withinHz: readonly [number, number], withinDb: number) =>
    common(profiles.map((profile) => strongPoints(profile, { withinHz, withinDb })));
  const everything = [gridFrequencyHz[0], gridFrequencyHz[gridFrequencyHz.length - 1]] as const;
  const whole = strong(MIDDLE_HZ, WHOLE_MIDDLE_DOWN_DB);
  if (whole.length >= WHOLE_MIDDLE_POINTS) return whole;
  const middle = strong(MIDDLE_HZ, MIDDLE_TOO_FAR_DOWN_DB);
  if (middle.length >= FEWEST_MIDDLE_POINTS) return middle;
  const aboveBass = strong(ABOVE_BASS_HZ, BAND_DB);
  return aboveBass.length >= FEWEST_MIDDLE_POINTS ? aboveBass : strong(everything, BAND_DB);
}

function common(lists: readonly (readonly number[])[]): number[] {
  const [first = [], ...rest] = lists;
  return first.filter((i) => rest.every((list) => list.includes(i)));
}

/** Median over neighbouring settings of decibels for a step of one; null for a single setting. */
function medianSlope(levels: readonly { setting: number; levelDbFs: number }[]): number | null {
  const slopes = levels
    .slice(1)
    .map(({ setting, levelDbFs }, i) => (levelDbFs - levels[i].levelDbFs) / (setting - levels[i].setting))
    .sort((one, other) => one - other);
  if (slopes.length === 0) return null;
  const half = slopes.length >> 1;
  return slopes.length % 2 === 1 ? slopes[half] : (slopes[half - 1] + slopes[half]) / 2;
}
