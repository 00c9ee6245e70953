import { decibels } from '../dsp/decibels.ts';
import { median } from '../dsp/statistics.ts';
import type { VerifiedFeed } from '../model/verification.ts';
import { type FeedFit, filterLossDb } from './feed-fit.ts';
import { type RecordedFeed, recordedLevel, trustedIn } from './recorded-feed.ts';

/** Beyond the grid at either end. */
const WHOLE_GRID_HZ = [1, 30_000] as const;

/** Before, planned and after of one feed at each setting; 0 dB is the middle of the planned band there. */
export function provenCurves(
  recorded: RecordedFeed,
  { fit, inVolts, rows }: FeedFit,
): VerifiedFeed['curves'] {
  const { planned, node, restoration, series } = recorded;
  const gain = planned.gain(node) ?? 1;
  const filters = node === 'amplifier output' ? planned.filters : [];
  // Off is as the plan wanted it where the amplifier has none; the family is the one that was found.
  const asPlanned = filterLossDb(
    {
      filters: filters.map(({ cornerHz }, k) => ({
        family: fit.filters[k].family ?? 'butterworth',
        cornerHz,
      })),
    },
    filters,
  );
  return series.measurements.flatMap((measurement) => {
    const { setting } = measurement;
    const volts = planned.volts(setting);
    const row = rows.find((one) => one.setting === setting);
    if (volts === null || row === undefined) return [];
    const before = volts.map((value) => decibels(value * gain + 1e-12));
    const boost = planned.boostDb(setting);
    const plannedDb = before.map((db, i) => db + asPlanned[i] + (restoration === 'none' ? 0 : boost[i]));
    const zero = median(row.points.map((i) => plannedDb[i]));
    const trusted = new Set(trustedIn(measurement, WHOLE_GRID_HZ));
    // Without volts the level is not proven: the curve is laid over the plan's.
    const shift = inVolts ? 0 : fit.gainDb;
    const after = Array.from(recordedLevel(measurement), (value, i) =>
      trusted.has(i) ? hundredth(decibels(value + 1e-12) - shift - zero) : null,
    );
    return [
      {
        setting,
        beforeDb: Array.from(before, (db) => hundredth(db - zero)),
        plannedDb: Array.from(plannedDb, (db) => hundredth(db - zero)),
        afterDb: after,
      },
    ];
  });
}

/** To a hundredth of a decibel: finer than anything that is told. */
function hundredth(db: number): number {
  return Math.round(100 * db) / 100 || 0; // no -0: JSON does not keep it
}
