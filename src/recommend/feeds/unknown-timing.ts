import { decibels } from '../../dsp/decibels.ts';
import { gridFrequencyHz, gridSpan, type RangeHz } from '../../model/frequency-grid.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { measuredTogether } from '../chain/tap-level.ts';
import type { PlanContext } from '../plan-context.ts';
import { FULL_NULL_DB } from './flatness.ts';
import { magnitudes, programmeSpectrum } from './predict-sum.ts';

type UnknownTiming = NonNullable<AdviceOf<'feed'>['unknownTiming']>;

/**
 * What can be said of a sum whose taps were recorded one after the other: at best they add in full (0 dB), at worst the
 * strongest works against all the others, which is a full null where they are equally strong.
 */
export function unknownTiming(
  context: PlanContext,
  {
    tapIds,
    setting,
    wantedHz,
  }: { readonly tapIds: readonly string[]; readonly setting: number; readonly wantedHz: RangeHz },
): UnknownTiming {
  const { measurements } = measuredTogether(context, tapIds, setting)!;
  const each = measurements.map((measurement) => magnitudes(programmeSpectrum(measurement, 'both')));
  const { first, last } = gridSpan(wantedHz);
  let worst = { db: 0, hz: gridFrequencyHz[first] };
  for (let i = first; i <= last; i++) {
    const total = each.reduce((sum, one) => sum + one[i], 0);
    const left = Math.max(0, 2 * Math.max(...each.map((one) => one[i])) - total);
    const db = Math.max(FULL_NULL_DB, decibels(Math.max(left / total, 1e-10)));
    if (db < worst.db) worst = { db, hz: gridFrequencyHz[i] };
  }
  return {
    bestDipDb: 0,
    worstDipDb: nearlyEqualSomewhere(worst.db) ? FULL_NULL_DB : worst.db,
    atHz: worst.hz,
    recordNext: { code: 'record taps together', tapIds: [...tapIds], setting },
  };
}

/** Between two grid points the levels cross: a dip this deep on the grid is a full null beside it. */
const NULL_ON_THE_GRID_DB = -30;

function nearlyEqualSomewhere(worstDb: number): boolean {
  return worstDb < NULL_ON_THE_GRID_DB;
}
