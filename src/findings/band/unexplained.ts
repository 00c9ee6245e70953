import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import { modelOf } from '../../dsp/fit/response-fit.ts';
import type { FittedTap } from './fitted-tap.ts';

/** Looked at where the tap is this near its strongest: what follows in the skirts says nothing of the band. */
const BAND_NEPER = 20 / DB_PER_NEPER;
/**
 * A fit that misses the band by more than this, beside what noise explains, does not explain it. Radios whose filters and EQ
 * are those of the model stay below a twentieth of both (tests/findings/band/band-study.test.ts), all-passes, compressors and
 * echoes lie above (tests/findings/band/full-range-all-the-same.test.ts).
 */
const UNEXPLAINED_DB = 0.25;
const UNEXPLAINED_RADIANS = 0.05;
/** Chi-square per degree of freedom below which noise explains what is left, however large. */
const NOISE_EXPLAINS = 4;

/** Whether filters and EQ as radios have them do not explain a tap's response: an all-pass, a compressor, two paths summed. */
export function isUnexplained(tap: FittedTap): boolean {
  if (tap.reducedChiSquare < NOISE_EXPLAINS) return false;
  const { levelDb, phaseRadians } = fitMisses(tap);
  return levelDb > UNEXPLAINED_DB || phaseRadians > UNEXPLAINED_RADIANS;
}

/** What the best fit misses within the tap's band, RMS, the noise taken out. */
function fitMisses({ data, best }: FittedTap): { levelDb: number; phaseRadians: number } {
  const model = modelOf(best.fit, data.frequencyHz);
  const top = Math.max(...data.lnMagnitude);
  let [level, phase, noise, count] = [0, 0, 0, 0];
  data.lnMagnitude.forEach((value, i) => {
    if (value < top - BAND_NEPER) return;
    level += (value - model.lnMagnitude[i]) ** 2;
    phase += (data.phase[i] - model.phase[i]) ** 2;
    noise += data.variance[i];
    count++;
  });
  const rms = (squares: number) => Math.sqrt(Math.max(0, squares - noise) / count);
  return { levelDb: DB_PER_NEPER * rms(level), phaseRadians: rms(phase) };
}
