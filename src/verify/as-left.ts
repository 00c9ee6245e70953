import { valueAt } from '../model/frequency-grid.ts';
import type { AsLeft } from '../model/verification.ts';
import { METER_TONES_HZ } from '../tones/meter-tone.ts';
import { type RecordedFeed, recordedLevel, trustedIn } from './recorded-feed.ts';

/** A tone is read where the recording is trusted within this ratio of it. */
const AROUND_A_TONE = 1.1;

/**
 * Volts RMS of a full-scale meter tone, on both sides alike, as the install was left: what a meter should still read
 * years later. Nothing without calibration, or where the recording is not trusted.
 */
export function asLeftVolts({ planned, node, restoration, series }: RecordedFeed): AsLeft[] {
  return series.measurements.flatMap((measurement) => {
    if (measurement.voltsPerFullScale === null) return [];
    const level = recordedLevel(measurement);
    const tones = METER_TONES_HZ.filter(
      (toneHz) => trustedIn(measurement, [toneHz / AROUND_A_TONE, toneHz * AROUND_A_TONE]).length > 0,
    );
    return tones.map((toneHz) => ({
      feedId: planned.feed.id,
      node,
      restoration,
      setting: measurement.setting,
      toneHz,
      voltsRms: Number(valueAt(level, toneHz).toPrecision(4)),
    }));
  });
}
