import { BASS_FREQUENCIES_HZ } from '../../model/finding.ts';
import { MIDDLE_HZ } from '../../model/frequency-grid.ts';
import { isNotMeasurable, type NotMeasurable, notMeasurable } from '../../model/measured.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { Reason } from '../../model/reason.ts';
import type { TapSeries } from '../tap-series.ts';
import {
  type Estimate,
  FEWEST_MIDDLE_POINTS,
  type LevelProfile,
  levelAround,
  meanLevel,
  strongestLevelDb,
  strongPoints,
} from './level-profile.ts';
import type { LinearLevels } from './linear-levels.ts';

/** What lies this far below the tap's strongest is leakage as likely as programme. */
const MIDDLE_TOO_FAR_DOWN_DB = 30;
/** A take that lacks more than half of the middle that most takes of its tap have is another tap's, or spoilt. */
const PART_OF_TAKES = 0.5;
const PART_OF_MIDDLE = 0.5;
/** A subwoofer output's own bass above all that it loses first, for want of any middle. */
const UPPER_BASS_HZ = [112, 300] as const;

/** Bass this far below the tap's strongest is no bass of its own: it leaks, or stands far out on a tweeter's filter (chosen here). */
const NO_BASS_DB = 40;

export const CARRIES_NO_BASS = { code: 'no bass to judge' } as const;
/** Why the bass of a subwoofer tap that was recorded alone cannot be judged. */
export const NO_FULL_RANGE_TAP = { code: 'no full-range tap beside it' } as const;

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
  /** Whether what stands for the middle loses some of the bass itself, so that losses are told too small. */
  readonly lossesAtLeast: boolean;
  /** Settings that could not be used, with the reason. */
  readonly leftOut: readonly LeftOut[];
}

export interface LeftOut {
  readonly setting: number;
  readonly reason: Reason;
}

/**
 * Bass against the middle at every usable setting. A tap without a middle of its own is held against another in the same
 * file, because its volume law and its bass loss cannot be told apart; for want of one, against its own upper bass.
 */
export function bassLevels(series: TapSeries, all: readonly TapSeries[]): BassLevels | NotMeasurable {
  if (series.carries === 'nothing') return notMeasurable({ code: 'tap carries no programme' });
  const { usable, leftOut } = usableTakes(series);
  if (!usable.some(({ levels }) => hasBass(levels.profile))) {
    return usable.length === 0 && leftOut.length > 0
      ? notMeasurable(leftOut[0].reason)
      : notMeasurable(CARRIES_NO_BASS);
  }
  return againstOwnMiddle(usable, leftOut) ?? againstReference({ series, all, usable, leftOut });
}

function hasBass(profile: LevelProfile): boolean {
  const floorDb = strongestLevelDb(profile) - NO_BASS_DB;
  return BASS_FREQUENCIES_HZ.some(
    (hz) => (levelAround(profile, hz)?.value ?? Number.NEGATIVE_INFINITY) > floorDb,
  );
}

interface UsableTake {
  readonly measurement: TapMeasurement;
  readonly levels: LinearLevels;
  /** Whether any setting of the tap shows a limiter in its bass. */
  readonly limited: boolean;
}

function usableTakes({ takes }: TapSeries): {
  usable: readonly UsableTake[];
  leftOut: readonly LeftOut[];
} {
  const limited = takes.some(({ linear }) => !isNotMeasurable(linear) && linear.bassLimitedDb > 0);
  return {
    usable: takes.flatMap(({ measurement, linear }) =>
      isNotMeasurable(linear) ? [] : [{ measurement, levels: linear, limited }],
    ),
    leftOut: takes.flatMap(({ setting, linear }) =>
      isNotMeasurable(linear) ? [{ setting, reason: linear.notMeasurable }] : [],
    ),
  };
}

function againstOwnMiddle(usable: readonly UsableTake[], leftOut: readonly LeftOut[]): BassLevels | null {
  const { points, having } = commonBand(usable, MIDDLE_HZ);
  if (points.length < FEWEST_MIDDLE_POINTS) return null;
  const lacking = usable
    .filter((take) => !having.includes(take))
    .map(({ measurement: { setting } }) => ({
      setting,
      reason: { code: 'no middle at this setting' } as const,
    }));
  return {
    perSetting: having.map((take) => bassLevel({ ...take, middle: meanLevel(take.levels.profile, points) })),
    referenceTapId: null,
    lossesAtLeast: false,
    leftOut: [...leftOut, ...lacking].sort((one, other) => one.setting - other.setting),
  };
}

/** Grid points of a band that are trusted and strong at every take but those that most of the others contradict. */
function commonBand<Take extends { readonly levels: LinearLevels }>(
  takes: readonly Take[],
  withinHz: readonly [number, number],
): { points: readonly number[]; having: readonly Take[] } {
  const strong = takes.map(
    ({ levels: { profile } }) =>
      new Set(strongPoints(profile, { withinHz, withinDb: MIDDLE_TOO_FAR_DOWN_DB })),
  );
  const usual = [...new Set(strong.flatMap((points) => [...points]))].filter(
    (i) => strong.filter((points) => points.has(i)).length > PART_OF_TAKES * takes.length,
  );
  const has = strong.map(
    (points) => usual.filter((i) => points.has(i)).length > PART_OF_MIDDLE * usual.length,
  );
  return {
    points: usual.filter((i) => strong.every((points, take) => !has[take] || points.has(i))),
    having: takes.filter((_, take) => has[take]),
  };
}

function againstReference(of: {
  series: TapSeries;
  all: readonly TapSeries[];
  usable: readonly UsableTake[];
  leftOut: readonly LeftOut[];
}): BassLevels | NotMeasurable {
  const { series, all, usable, leftOut } = of;
  for (const reference of all) {
    if (reference.tap.id === series.tap.id) continue;
    const pairs = usable.flatMap((take) => {
      const together = usableTakes(reference).usable.find(({ measurement }) =>
        sameTake(measurement, take.measurement),
      );
      return together === undefined ? [] : [{ ...together, take }];
    });
    const { points, having } = commonBand(pairs, MIDDLE_HZ);
    if (having.length < 2 || points.length < FEWEST_MIDDLE_POINTS) continue;
    const perSetting = having.map(({ take, levels }) =>
      bassLevel({ ...take, middle: meanLevel(levels.profile, points) }),
    );
    return { perSetting, referenceTapId: reference.tap.id, lossesAtLeast: false, leftOut };
  }
  const { points, having } = commonBand(usable, UPPER_BASS_HZ);
  if (having.length < 2 || points.length < FEWEST_MIDDLE_POINTS) return notMeasurable(NO_FULL_RANGE_TAP);
  const perSetting = having.map((take) =>
    bassLevel({ ...take, middle: meanLevel(take.levels.profile, points) }),
  );
  return { perSetting, referenceTapId: null, lossesAtLeast: true, leftOut };
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
