import { isNotMeasurable } from '../../model/measured.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import { type Carries, carriedResponse } from '../band/carried-response.ts';
import type { TapTake } from '../tap-take.ts';

/**
 * Response of a tap at one setting free of what a bass limiter took from the main sweep: the low-drive sweep, where the main one
 * was limited. To a limiter before the volume control every setting looks alike, and what it takes like EQ.
 */
export function linearResponse({ measurement, linear }: TapTake, carries: Carries): FrequencyResponse {
  const limited = !isNotMeasurable(linear) && linear.bassLimitedDb > 0;
  return limited && carries !== 'difference' && measurement.bothLowDrive !== null
    ? measurement.bothLowDrive
    : carriedResponse(measurement, carries);
}
