import { powerSpectrum, TONE_HALF_WIDTH_BINS } from '../../dsp/power-spectrum.ts';
import { SteptoneError } from '../../model/errors.ts';
import type { VoltsPerFullScale } from '../../model/measurement.ts';
import type { Calibration, Tap } from '../../model/session.ts';

/** One side of a bridged pair carries half of the pair's volts. */
const PAIR_PER_LEG = 2;
/** A calibration tone must hold this part of the file's power. */
const LEAST_TONE_PART = 0.5;

/**
 * RMS volts across the tap's pair for a full-scale sine in the recording.
 *
 * @param toneLevel amplitude of the calibration tone, 1 is a full-scale sine; only looked at for kind 'tone'
 * @returns null where the session has no calibration
 */
export function voltsPerFullScale(of: {
  calibration: Calibration;
  tap: Tap;
  toneLevel: number | null;
}): VoltsPerFullScale | null {
  const { calibration, tap } = of;
  const atRecording =
    calibration.kind === 'pad'
      ? calibration.fullScaleVoltsRms * calibration.padRatio
      : calibration.kind === 'tone' && of.toneLevel !== null
        ? calibration.voltsRms / of.toneLevel
        : null;
  if (atRecording === null || calibration.kind === 'none') return null;
  return {
    volts: atRecording * (tap.connection === 'one leg' ? PAIR_PER_LEG : 1),
    relativeUncertainty: calibration.tolerancePercent / 100,
  };
}

/**
 * Amplitude of the steady tone that a calibration file holds; 1 is a full-scale sine.
 *
 * @throws SteptoneError 'calibration' where no single tone stands out
 */
export function steadyToneLevel(
  samples: ArrayLike<number>,
  of: { sampleRateHz: number; file: string },
): number {
  const size = 2 ** Math.floor(Math.log2(samples.length));
  const { power, binHz } = powerSpectrum(samples, { size, sampleRateHz: of.sampleRateHz });
  const strongest = power.reduce((best, value, k) => (value > power[best] ? k : best), 1);
  const sumOver = (from: number, to: number) =>
    power.subarray(Math.max(0, from), to).reduce((sum, value) => sum + value, 0);
  const tone = sumOver(strongest - TONE_HALF_WIDTH_BINS, strongest + TONE_HALF_WIDTH_BINS + 1);
  const total = sumOver(0, power.length);
  if (!(tone > LEAST_TONE_PART * total))
    throw new SteptoneError({
      code: 'calibration',
      expected: 'one steady tone',
      found: `other sound (its strongest tone is at ${(strongest * binHz).toFixed(0)} Hz)`,
      where: of.file,
      likelyCause: 'the wrong file, or the tone did not play',
      nextStep: 'record a steady meter tone for ten seconds, and read its volts meanwhile',
    });
  return Math.sqrt(2 * tone);
}
