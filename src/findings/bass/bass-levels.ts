import { BASS_FREQUENCIES_HZ } from '../../model/finding.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { TapSeries } from '../tap-series.ts';
import {
  type Estimate,
  type LevelProfile,
  levelAround,
  meanLevel,
  strongestLevelDb,
  trustedPoints,
} from './level-profile.ts';
import type { LinearLevels } from './linear-levels.ts';

/** The tap's own middle, against which bass is stated, and how much of it must be there (a third of an octave). */
const MIDDLE_HZ = [300, 3000] as const;
const FEWEST_MIDDLE_POINTS = 16;
/** What lies this far below the tap's strongest is leakage as likely as programme. */
const MIDDLE_TOO_FAR_DOWN_DB = 30;

export const CARRIES_NO_BASS = 'there is no bass to judge';
/** Why the bass of a subwoofer tap that was recorded alone cannot be judged. */
export const NO_FULL_RANGE_TAP =
  'this tap has no middle of its own and no full-range tap is in the same file: its volume law and its bass loss cannot be told apart';

/** Bass of one take against the middle. */
export interface BassLevel {
  readonly setting: number;
  readonly measurement: TapMeasurement;
  readonly levels: LinearLevels;
  /** Level of the middle (of the tap itself or of its reference), decibels. */
  readonly middle: Estimate;
  /** One for each of BASS_FREQUENCIES_HZ: level there against the middle; null where it is not trusted. */
  readonly relative: readonly (Estimate | null)[];
}

export interface BassLevels {
  readonly perSetting: readonly BassLevel[];
  /** Tap whose middle was used in place of this one's own; null where it has its own. */
  readonly referenceTapId: string | null;
  /** Settings that could not be used, with the reason. */
  readonly leftOut: readonly { readonly setting: number; readonly reason: string }[];
}

/**
 * Bass against the middle at every usable setting. A tap without a middle of its own needs a full-range tap in the same
 * file, because its volume law and its bass loss cannot be told apart; a string says what is missing.
 */
export function bassLevels(series: TapSeries, all: readonly TapSeries[]): BassLevels | string {
  if (series.carries === 'nothing') return 'this tap carries nothing';
  const { usable, leftOut } = usableTakes(series);
  if (
    !usable.some(({ levels }) => BASS_FREQUENCIES_HZ.some((hz) => levelAround(levels.profile, hz) !== null))
  ) {
    return usable.length === 0 && leftOut.length > 0
      ? `no setting can be used: ${leftOut[0].reason}`
      : CARRIES_NO_BASS;
  }
  const ownPoints = middlePoints(usable.map(({ levels }) => levels.profile));
  if (ownPoints.length >= FEWEST_MIDDLE_POINTS) {
    const perSetting = usable.map((take) =>
      bassLevel({ ...take, middle: meanLevel(take.levels.profile, ownPoints) }),
    );
    return { perSetting, referenceTapId: null, leftOut };
  }
  return againstReference({ series, all, usable, leftOut });
}

interface UsableTake {
  readonly measurement: TapMeasurement;
  readonly levels: LinearLevels;
  /** Whether any setting of the tap shows a limiter in its bass. */
  readonly limited: boolean;
}

function usableTakes({ takes }: TapSeries): {
  usable: readonly UsableTake[];
  leftOut: BassLevels['leftOut'];
} {
  const limited = takes.some(({ linear }) => typeof linear !== 'string' && linear.bassLimitedDb > 0);
  return {
    usable: takes.flatMap(({ measurement, linear }) =>
      typeof linear === 'string' ? [] : [{ measurement, levels: linear, limited }],
    ),
    leftOut: takes.flatMap(({ setting, linear }) =>
      typeof linear === 'string' ? [{ setting, reason: linear }] : [],
    ),
  };
}

/** Grid points of the middle that are trusted and strong at every setting. */
function middlePoints(profiles: readonly LevelProfile[]): number[] {
  const [first, ...rest] = profiles.map((profile) => {
    const floorDb = strongestLevelDb(profile) - MIDDLE_TOO_FAR_DOWN_DB;
    return trustedPoints(profile, MIDDLE_HZ).filter((i) => profile.levelDb[i] >= floorDb);
  });
  return rest.reduce((common, points) => {
    const present = new Set(points);
    return common.filter((i) => present.has(i));
  }, first ?? []);
}

function againstReference(of: {
  series: TapSeries;
  all: readonly TapSeries[];
  usable: readonly UsableTake[];
  leftOut: BassLevels['leftOut'];
}): BassLevels | string {
  const { series, all, usable, leftOut } = of;
  for (const reference of all) {
    if (reference.tap.id === series.tap.id) continue;
    const pairs = usable.flatMap((take) => {
      const together = usableTakes(reference).usable.find(({ measurement }) =>
        sameTake(measurement, take.measurement),
      );
      return together === undefined ? [] : [{ take, together }];
    });
    const points = middlePoints(pairs.map(({ together }) => together.levels.profile));
    if (pairs.length < 2 || points.length < FEWEST_MIDDLE_POINTS) continue;
    const perSetting = pairs.map(({ take, together }) =>
      bassLevel({ ...take, middle: meanLevel(together.levels.profile, points) }),
    );
    return { perSetting, referenceTapId: reference.tap.id, leftOut };
  }
  return NO_FULL_RANGE_TAP;
}

function sameTake(one: TapMeasurement, other: TapMeasurement): boolean {
  return one.evidence.some((mine) =>
    other.evidence.some(({ file, setting }) => file === mine.file && setting === mine.setting),
  );
}

/** The low-drive sweep stands nearer its noise than its sigma says: one in eight of 177 changes beside a limiter lay outside (random radios 2001 to 2100). */
const LOW_DRIVE_SIGMAS = 1.25;
/** What a limiter that other settings show may have taken unseen (`SAME_LEVEL_DB` of linear-levels.ts). */
const UNSEEN_LIMITING_DB = 0.1;

function bassLevel({ measurement, levels, limited, middle }: UsableTake & { middle: Estimate }): BassLevel {
  const lowDrive = levels.drive === 'low-drive sweep';
  const sigmas = lowDrive ? LOW_DRIVE_SIGMAS : 1;
  const unseen = limited && !lowDrive ? Math.min(levels.limitedByAtMostDb, UNSEEN_LIMITING_DB) / 2 : 0;
  const relative = BASS_FREQUENCIES_HZ.map((frequencyHz) => {
    const level = levelAround(levels.profile, frequencyHz);
    return level === null
      ? null
      : {
          value: level.value - middle.value,
          sigma: Math.hypot(unseen, sigmas * level.sigma, sigmas * middle.sigma),
        };
  });
  return { setting: measurement.setting, measurement, levels, middle, relative };
}
