import { BASS_FREQUENCIES_HZ } from '../../model/finding.ts';
import type { Reason } from '../../model/reason.ts';
import { COVERAGE } from '../coverage.ts';
import type { BassLevel } from './bass-levels.ts';
import { type Estimate, SIGNIFICANT } from './level-profile.ts';
import { PLATEAU_DB } from './plateau.ts';

/** Bass of one setting against the plateau. */
export interface BassDifference {
  readonly level: BassLevel;
  /** Against the plateau, one for each of BASS_FREQUENCIES_HZ. */
  readonly changes: readonly (Estimate | null)[];
  /** Where a change is null: it is no higher than this, decibels; null where nothing is known. */
  readonly atMostDb: readonly (number | null)[];
  /** Of that, what a limiter may have taken; infinite where nothing tells. */
  readonly limitedByAtMostDb: number;
}

/** A change counts from here on, as the plateau ends here, and not before it stands clear of its noise. */
const CHANGE_DB = PLATEAU_DB;
/** 'Steady' is not said where a change of this size could hide in the noise. */
const HIDDEN_CHANGE_DB = 2;
/** A later setting supports an earlier one's change while it shows at least this part of the threshold. */
const SUPPORT = 0.5;
/** A loss that differs by less than this over the bass is one of level. */
const EVEN_DB = 1;

/** Why a loss cannot be laid to the volume where only one drive was played. */
export const NO_LOW_DRIVE = { code: 'one drive only' } as const;

export interface BassOnset {
  readonly lastIntact: number;
  readonly firstChanged: number;
  readonly atHz: number;
  readonly thresholdDb: number;
  /** Why the loss cannot be laid to the volume; null where it can. */
  readonly doubt: Reason | null;
}

/** First setting from which on bass is lost, at the frequency that shows it most clearly; null where none is. */
export function bassOnset(above: readonly BassDifference[], referenceTapId: string | null): BassOnset | null {
  const candidates = BASS_FREQUENCIES_HZ.flatMap((atHz, at) => {
    const thresholdDb = Math.max(
      CHANGE_DB,
      ...above.flatMap(({ changes }) => (changes[at] === null ? [] : SIGNIFICANT * changes[at].sigma)),
    );
    const present = above.flatMap((difference): LossAtSetting[] => lossAt(difference, at, thresholdDb));
    if (present.length < 2) return [];
    const first = present.findIndex(
      ({ lossDb }, i) =>
        lossDb >= thresholdDb && present.slice(i).every((later) => later.lossDb >= SUPPORT * thresholdDb),
    );
    if (first < 1) return [];
    const lost = present.slice(first);
    const proven = lost.some(({ lossDb, limitedByAtMostDb }) => lossDb - limitedByAtMostDb >= thresholdDb);
    return [
      {
        atHz,
        thresholdDb,
        lastIntact: present[first - 1].setting,
        firstChanged: present[first].setting,
        proven,
        clearest: Math.max(...lost.map(({ sigmas }) => sigmas)),
      },
    ];
  });
  const [best] = candidates.sort(
    (one, other) => Number(other.proven) - Number(one.proven) || other.clearest - one.clearest,
  );
  if (best === undefined) return null;
  const { atHz, thresholdDb, lastIntact, firstChanged, proven } = best;
  const doubt: Reason | null = !proven
    ? NO_LOW_DRIVE
    : referenceTapId !== null && isEvenLoss(above[above.length - 1])
      ? { code: 'all bass falls alike', referenceTapId }
      : null;
  return { atHz, thresholdDb, lastIntact, firstChanged, doubt };
}

interface LossAtSetting {
  readonly setting: number;
  readonly lossDb: number;
  /** How many standard deviations it stands clear. */
  readonly sigmas: number;
  readonly limitedByAtMostDb: number;
}

/** Bass lost at one frequency; bass that sank into the noise is lost where what is left could not be that of the plateau. */
function lossAt(
  { level: { setting }, changes, atMostDb, limitedByAtMostDb }: BassDifference,
  at: number,
  thresholdDb: number,
): LossAtSetting[] {
  const [change, atMost] = [changes[at], atMostDb[at]];
  if (change !== null)
    return [{ setting, lossDb: -change.value, sigmas: -change.value / change.sigma, limitedByAtMostDb }];
  if (atMost !== null && -atMost >= thresholdDb)
    return [{ setting, lossDb: -atMost, sigmas: SIGNIFICANT, limitedByAtMostDb }];
  return [];
}

/** Whether a tap without a middle lost the same at all bass frequencies. */
function isEvenLoss({ changes }: BassDifference): boolean {
  const known = changes.filter((change) => change !== null);
  if (known.length === 0) return true; // all of it sank into the noise
  const values = known.map(({ value }) => value);
  return (
    Math.max(...values) - Math.min(...values) <=
    Math.max(EVEN_DB, SIGNIFICANT * Math.max(...known.map(({ sigma }) => sigma)))
  );
}

/** Highest setting below the plateau at which bass is lifted; null where none is. */
export function liftedUpTo(below: readonly BassDifference[]): number | null {
  const lifted = below.filter(({ changes }) =>
    changes.some((change) => change !== null && isBeyond(change, 1)),
  );
  return lifted.length === 0 ? null : Math.max(...lifted.map(({ level }) => level.setting));
}

function isBeyond({ value, sigma }: Estimate, sign: 1 | -1): boolean {
  return sign * value >= Math.max(CHANGE_DB, SIGNIFICANT * sigma);
}

/** Why bass without an onset is not simply steady; null where it is. */
export function whyNotSteady(of: {
  below: readonly BassDifference[];
  above: readonly BassDifference[];
}): Reason | null {
  const { below, above } = of;
  const any = (changes: readonly BassDifference[], sign: 1 | -1) =>
    changes.find(({ changes: values }) => values.some((change) => change !== null && isBeyond(change, sign)));
  const rising = any(above, 1) ?? any(below, -1);
  if (rising !== undefined) {
    return { code: 'bass stands against the rest', setting: rising.level.setting };
  }
  const dropped = any(above, -1);
  if (dropped !== undefined)
    return { code: 'bass lower at one setting only', setting: dropped.level.setting };
  // Radios take the lowest bass first: what is steady there is steady above, though a line of hum hides one frequency.
  const lowest = [...below, ...above].flatMap(
    ({ changes }) => changes.find((change) => change !== null) ?? [],
  );
  const hidden = above.find(({ changes }) => changes.every((change) => change === null));
  if (hidden !== undefined) return { code: 'bass in the noise', setting: hidden.level.setting };
  return COVERAGE * Math.max(...lowest.map(({ sigma }) => sigma)) > HIDDEN_CHANGE_DB
    ? { code: 'noise hides a change of 2 dB' }
    : null;
}
