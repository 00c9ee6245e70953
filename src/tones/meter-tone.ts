import { triangularDither } from '../audio/dither.ts';
import { ratioOf } from '../dsp/decibels.ts';
import { sixteenBitSample } from './sixteen-bits.ts';
import { BASS_TONE_HZ, MIDDLE_TONE_HZ } from './track.ts';

/** A steady tone to set gains by with a meter; the steps of a ladder are too short for one. */
export interface MeterTone {
  readonly toneHz: number;
  readonly driveDbFs: number;
}

/** Many meters fall off above 400 Hz (common practice), so that volts are read at 100 or 55 Hz; 997 Hz is for comparison. */
export const METER_TONES_HZ = [BASS_TONE_HZ, 100, MIDDLE_TONE_HZ] as const;
/** Gain overlap of none, 5 and 10 dB (common practice). */
export const METER_DRIVES_DB_FS = [0, -5, -10] as const;
/** For channels of tweeters: inside their band, and below it to prove the filter. Louder ones burn them (common practice). */
export const TREBLE_TONES_HZ = [3000, 6000] as const;
export const BELOW_TREBLE_TONES_HZ = [100, MIDDLE_TONE_HZ] as const;
export const TREBLE_DRIVE_DB_FS = -20;

export const meterTones: readonly MeterTone[] = [
  ...METER_TONES_HZ.flatMap((toneHz) => METER_DRIVES_DB_FS.map((driveDbFs) => ({ toneHz, driveDbFs }))),
  ...[...BELOW_TREBLE_TONES_HZ, ...TREBLE_TONES_HZ].map((toneHz) => ({
    toneHz,
    driveDbFs: TREBLE_DRIVE_DB_FS,
  })),
];

/** A meter settles in a few seconds; a minute leaves time to write (common practice). */
export const METER_TONE_SECONDS = 60;
/** Long enough that speakers do not click. */
const FADE_SECONDS = 0.1;
const DITHER_SEED = 20_003;

/** Samples for left and right alike, dithered to 16 bits (multiples of 2^-15). */
export function renderMeterTone({ toneHz, driveDbFs }: MeterTone, sampleRateHz: number): Float32Array {
  const amplitude = ratioOf(driveDbFs);
  const dither = triangularDither(DITHER_SEED);
  const samples = new Float32Array(METER_TONE_SECONDS * sampleRateHz);
  for (let i = 0; i < samples.length; i++) {
    const seconds = i / sampleRateHz;
    const edge = Math.min(1, seconds / FADE_SECONDS, (METER_TONE_SECONDS - seconds) / FADE_SECONDS);
    const fade = 0.5 * (1 - Math.cos(Math.PI * edge));
    samples[i] = sixteenBitSample(amplitude * fade * Math.sin(2 * Math.PI * toneHz * seconds), dither());
  }
  return samples;
}
