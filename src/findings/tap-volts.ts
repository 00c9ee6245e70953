import { DB_PER_NEPER, ratioOf } from '../dsp/decibels.ts';
import { type MeasuredOrReason, measured, notMeasurable } from '../model/measured.ts';
import type { TapMeasurement } from '../model/measurement.ts';

/** RMS volts at the tap of a level in the recording; `plusMinusDb` is the level's own 95 % uncertainty. */
export function tapVoltsRms(
  { voltsPerFullScale }: TapMeasurement,
  { levelDbFs, plusMinusDb }: { levelDbFs: number; plusMinusDb: number },
): MeasuredOrReason {
  if (voltsPerFullScale === null) {
    return notMeasurable({ code: 'recording not calibrated' }, { code: 'record a calibration tone' });
  }
  const value = voltsPerFullScale.volts * ratioOf(levelDbFs);
  return measured({
    value,
    plusMinus: value * Math.hypot(voltsPerFullScale.relativeUncertainty, plusMinusDb / DB_PER_NEPER),
  });
}
