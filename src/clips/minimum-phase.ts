import { DB_PER_NEPER } from '../dsp/decibels.ts';
import { inverseComplex, realSpectrum } from '../dsp/fft.ts';
import { gridFrequencyHz, valueAt } from '../model/frequency-grid.ts';

/** A third of a second at 48 kHz: a bass shelf has rung out. */
const FILTER_LENGTH = 16_384;
/** The cepstrum is worked out at four times the length, so that it does not fold over itself. */
const WORK_LENGTH = 4 * FILTER_LENGTH;

/**
 * Impulse response with a given magnitude and the least delay that it can have.
 *
 * Method: the cepstrum of the log magnitude with its second half folded onto the first (Oppenheim and Schafer,
 * Discrete-Time Signal Processing, 'the complex cepstrum'; from memory).
 *
 * @param levelDb on the frequency grid; level beyond its ends
 */
export function minimumPhase({
  levelDb,
  sampleRateHz,
}: {
  levelDb: Float64Array;
  sampleRateHz: number;
}): Float64Array {
  const half = WORK_LENGTH / 2;
  const spectrum = new Float64Array(2 * WORK_LENGTH);
  for (let k = 0; k <= half; k++) {
    const nepers = levelAt(levelDb, (k * sampleRateHz) / WORK_LENGTH) / DB_PER_NEPER;
    spectrum[2 * k] = nepers;
    spectrum[2 * ((WORK_LENGTH - k) % WORK_LENGTH)] = nepers;
  }
  const cepstrum = inverseComplex(spectrum);
  const folded = new Float64Array(WORK_LENGTH);
  folded[0] = cepstrum[0];
  folded[half] = cepstrum[2 * half];
  for (let n = 1; n < half; n++) folded[n] = 2 * cepstrum[2 * n];

  const logarithm = realSpectrum(folded, WORK_LENGTH);
  for (let k = 0; k <= half; k++) {
    const magnitude = Math.exp(logarithm[2 * k]);
    const [re, im] = [magnitude * Math.cos(logarithm[2 * k + 1]), magnitude * Math.sin(logarithm[2 * k + 1])];
    const mirror = (WORK_LENGTH - k) % WORK_LENGTH;
    spectrum[2 * k] = re;
    spectrum[2 * k + 1] = im;
    spectrum[2 * mirror] = re;
    spectrum[2 * mirror + 1] = k === mirror ? im : -im;
  }
  const impulse = inverseComplex(spectrum);
  return Float64Array.from({ length: FILTER_LENGTH }, (_, n) => impulse[2 * n]);
}

/** Level beyond the ends of the grid. */
function levelAt(levelDb: Float64Array, frequencyHz: number): number {
  const [lowest, highest] = [gridFrequencyHz[0], gridFrequencyHz[gridFrequencyHz.length - 1]];
  return valueAt(levelDb, Math.min(highest, Math.max(lowest, frequencyHz)));
}
