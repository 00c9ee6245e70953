import type { Converter } from '../../model/equipment.ts';
import { valueAt } from '../../model/frequency-grid.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { HighestClean } from '../chain/highest-clean-setting.ts';
import type { BassNeed, BassNeeds } from './bass-need.ts';
import { boostLaw } from './boost-law.ts';
import { MOST_RESTORATION_DB } from './restoration-limit.ts';
import { holdsUpTo, mostNeededDb } from './restoration-reach.ts';

/** Losses smaller than this are not worth a part (common practice: below what is heard in a car). */
const WORTH_RESTORING_DB = 1;
/** Rounding of what is printed: a tenth of a decibel, half of it. */
const ROUNDING_DB = 0.05;

interface BoostToSet {
  /** Needs at the settings that are clean. */
  readonly usable: readonly BassNeed[];
  /** The need at the highest of them. */
  readonly top: BassNeed;
  /** The highest need up to which the boost is enough. */
  readonly holds: BassNeed | undefined;
  /** The one of both that the restoration is set for. */
  readonly set: BassNeed;
  readonly mostDb: number;
  readonly isWorthIt: boolean;
  readonly limitedBy: AdviceOf<'restoration'>['limitedBy'];
  /** One boost at every setting, half of what the loudest needs: no such part brings the bass back. */
  readonly isFixed: boolean;
  /** Decibels on the frequency grid at a setting. */
  readonly boostDb: (setting: number) => Float64Array;
}

/** What the converter is set to give: for the highest clean setting, or, beyond 12 dB, for the setting that the plan holds up to. */
export function boostToSet(of: {
  readonly need: BassNeeds;
  readonly clean: HighestClean;
  readonly converter: Converter | null;
  readonly centreHz: number;
}): BoostToSet {
  const { need, clean, converter, centreHz } = of;
  const { perSetting } = need;
  const usable = perSetting.filter(({ setting }) => clean.recorded === null || setting <= clean.recorded);
  const top = usable.at(-1) ?? perSetting[0];
  const wantedDb = mostNeededDb(top);
  const mostDb = Math.min(MOST_RESTORATION_DB, mostOf(converter));
  const isWorthIt = wantedDb >= WORTH_RESTORING_DB;
  const isFixed = converter?.restoration?.kind === 'fixed';
  const limitedBy = isWorthIt ? limitOf({ wantedDb, mostDb, converter }) : 'nothing';
  const holds = holdsUpTo(usable, mostDb);
  const isBeyond =
    limitedBy === '12 dB' && holds !== undefined && valueAt(holds.neededDb, centreHz) >= WORTH_RESTORING_DB;
  const set = isBeyond ? holds : top;
  const boostDb = boostLaw({
    needs: perSetting,
    top: set,
    mostDb,
    fixed: isFixed,
  });
  return { usable, top, holds, set, mostDb, isWorthIt, limitedBy, isFixed, boostDb };
}

function mostOf(converter: Converter | null): number {
  if (converter === null) return Number.POSITIVE_INFINITY;
  return converter.restoration?.maximumDb ?? 0;
}

function limitOf(of: {
  readonly wantedDb: number;
  readonly mostDb: number;
  readonly converter: Converter | null;
}): BoostToSet['limitedBy'] {
  const { wantedDb, mostDb, converter } = of;
  if (converter?.restoration?.kind === 'fixed') return 'the converter';
  if (wantedDb <= mostDb + ROUNDING_DB) return 'nothing';
  return converter !== null && mostOf(converter) < MOST_RESTORATION_DB ? 'the converter' : '12 dB';
}
