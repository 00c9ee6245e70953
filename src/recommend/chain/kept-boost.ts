import type { ChainFeed } from '../../model/chain.ts';
import { gridFrequencyHz, gridSpan } from '../../model/frequency-grid.ts';
import { BOOSTED_HZ } from '../bass/bass-need.ts';

type Kept = Pick<NonNullable<ChainFeed['restoration']>, 'frequencyHz' | 'settings'>;

const { first, last } = gridSpan(BOOSTED_HZ);

/** The part of a boost that is not the same everywhere, at each setting: what the chain keeps of it. */
export function keptBoost(boostDb: (setting: number) => Float64Array, settings: readonly number[]): Kept {
  return {
    frequencyHz: Array.from(gridFrequencyHz.subarray(first, last + 1)),
    settings: settings.map((setting) => ({
      setting,
      boostDb: Array.from(boostDb(setting).subarray(first, last + 1), (db) => Math.round(100 * db) / 100),
    })),
  };
}

/** Decibels on the frequency grid at a setting: of the nearest one kept at or below it, else of the lowest. */
export function boostFrom({ settings }: Kept, setting: number): Float64Array {
  const nearest = settings.findLast((one) => one.setting <= setting) ?? settings[0];
  return gridFrequencyHz.map((_, i) => (i > last ? 0 : (nearest?.boostDb[Math.max(0, i - first)] ?? 0)));
}
