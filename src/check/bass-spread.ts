import { DB_PER_NEPER } from '../dsp/decibels.ts';
import { modulus } from '../dsp/modulus.ts';
import { BASS_FREQUENCIES_HZ } from '../model/finding.ts';
import { nearestPoint } from '../model/frequency-grid.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import { MIDDLE_HZ, meanDb, strongerCurve } from './tone-against-middle.ts';

/** How bass at one frequency differs between the lowest and the highest setting of a tap. */
interface BassSpread {
  readonly atHz: number;
  readonly lowSetting: number;
  readonly highSetting: number;
  /** Negative where there is less bass at the higher setting. */
  readonly changeDb: number;
}

/**
 * The largest difference in bass between a tap's lowest and highest setting, at the sweep's own level: what can be said before
 * there are enough settings to tell a loss from a lift. Null where a tap was recorded at one setting, or without a middle.
 *
 * @param measurements of one tap, ascending by setting
 */
export function bassSpread(measurements: readonly TapMeasurement[]): BassSpread | null {
  const [low, high] = [measurements[0], measurements.at(-1)];
  if (low === undefined || high === undefined || low.setting === high.setting) return null;
  const [before, after] = [bassAgainstMiddle(low), bassAgainstMiddle(high)];
  const spreads = BASS_FREQUENCIES_HZ.flatMap((atHz, at): BassSpread[] => {
    const [from, to] = [before?.[at] ?? null, after?.[at] ?? null];
    if (from === null || to === null || [low, high].some((one) => isDisturbed(one, atHz))) return [];
    return [{ atHz, lowSetting: low.setting, highSetting: high.setting, changeDb: to - from }];
  });
  return spreads.reduce<BassSpread | null>(
    (most, one) => (most === null || Math.abs(one.changeDb) > Math.abs(most.changeDb) ? one : most),
    null,
  );
}

/** Hum or whine beside a frequency, or noise that leaves more than a plateau's width open: the level there is not the track's. */
function isDisturbed(measurement: TapMeasurement, hz: number): boolean {
  const beside = measurement.noise?.lines.some(({ frequencyHz }) => Math.abs(frequencyHz / hz - 1) < BESIDE);
  return beside === true || relativeNoise(measurement, hz) > NOISY;
}

/** A sweep’s response is read over about a twelfth of an octave (the smoothing kernel). */
const BESIDE = 0.06;
/** Two standard deviations of 0.5 dB. */
const NOISY = 0.5 / 2 / DB_PER_NEPER;

function relativeNoise({ left, right }: TapMeasurement, hz: number): number {
  const k = nearestPoint(hz);
  return Math.min(...[left, right].map(({ real, imag, sigma }) => sigma[k] / modulus(real[k], imag[k])));
}

function bassAgainstMiddle(measurement: TapMeasurement): (number | null)[] | null {
  const curve = strongerCurve(measurement);
  const middleDb = meanDb(curve, MIDDLE_HZ);
  if (middleDb === null) return null;
  return BASS_FREQUENCIES_HZ.map((hz) => {
    const db = meanDb(curve, [hz]);
    return db === null ? null : db - middleDb;
  });
}
