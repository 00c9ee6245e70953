import { type TapSeries, tapSeries } from '../../../src/findings/tap-series.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import { measurementsOf, type Radio, sessionOf, tapOf } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';

/** 1 dB a step, 6.85 V RMS for 0 dBFS at setting 30, recorder full scale 20 V RMS. */
export const FULL_SCALE_VOLTS = 20;
export const gainDb = (setting: number) => 20 * Math.log10(6.85 / FULL_SCALE_VOLTS) + setting - 30;
const RAIL_VOLTS_PEAK = 12.6;
/** Drive at which a tone meets the rail. */
export const railDrive = (setting: number) =>
  20 * Math.log10(RAIL_VOLTS_PEAK / Math.SQRT2 / FULL_SCALE_VOLTS) - gainDb(setting);

const SETTINGS = [20, 24, 28, 32, 34, 36];

export function seriesOf(radio: Partial<Radio>, { settings = SETTINGS, seed = 1 } = {}): TapSeries {
  return seriesIn(
    measurementsOf({
      radio: { gainDb, snrDb: 60, voltsPerFullScale: FULL_SCALE_VOLTS, ...radio },
      settings,
      random: seededRandom(seed),
    }),
  );
}

export function seriesIn(measurements: readonly TapMeasurement[]): TapSeries {
  return tapSeries({ session: sessionOf([tapOf()]), measurements })[0];
}
