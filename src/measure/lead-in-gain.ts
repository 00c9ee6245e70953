import type { Sound } from '../audio/sound.ts';
import { magnitudeAt, magnitudeCurve } from '../model/response.ts';
import type { Take } from '../takes/find-takes.ts';
import { MIDDLE_TONE_HZ, sectionOf, TREBLE_TONE_HZ } from '../tones/track.ts';
import type { TakeMeasurement } from './measure-take.ts';
import { takeStartFrame } from './section-response.ts';

/** Not the bass tone: a bass limiter of the radio would do the same to it. */
const TONES_HZ = [MIDDLE_TONE_HZ, TREBLE_TONE_HZ] as const;
/** Within the lead-in, after its fade and the attack of an automatic gain. */
const FROM_SECONDS = 0.6;
const SECONDS = 0.4;
/** Beside a tone, outside the main lobe of the window. */
const BESIDE_HZ = [-25, -12.5, 12.5, 25] as const;
/** A tone must stand this many times above what lies beside it. */
const CLEAR = 10;

/**
 * By how much the quiet lead-in came through louder than the sweeps say, decibels, for each channel: what an automatic gain
 * does. The least of the tones counts, so that neither a room nor a knock passes for it; negative where the output was still
 * muted. Null where no tone is clear of the noise.
 */
export function leadInExcessDb(of: {
  sound: Sound;
  take: Take;
  channels: readonly number[];
  measured: TakeMeasurement;
}): (number | null)[] {
  const { sound, take, channels, measured } = of;
  const leadIn = sectionOf(take.track, 'tones', 'lead-in');
  if (leadIn === undefined) return channels.map(() => null);
  const clock = 1 + (measured.clock?.ppm ?? 0) * 1e-6;
  const start = takeStartFrame(take, sound.sampleRateHz) + Math.round(FROM_SECONDS * sound.sampleRateHz);
  const samples = sound.readSection({ start, count: Math.round(SECONDS * sound.sampleRateHz), channels });
  return channels.map((channel, i) => {
    const { left, right } = measured.channels[i];
    const curve = magnitudeCurve([left, right]);
    const windowed = hannWindowed(samples[channel]);
    const excesses = TONES_HZ.flatMap((toneHz) => {
      const gain = magnitudeAt(curve, toneHz);
      const hz = toneHz / clock / sound.sampleRateHz;
      const level = amplitudeAt(windowed, hz);
      const beside = Math.max(
        ...BESIDE_HZ.map((offset) => amplitudeAt(windowed, hz + offset / sound.sampleRateHz)),
      );
      return gain === null || level < CLEAR * beside
        ? []
        : [20 * Math.log10(level / gain) - leadIn.driveDbFs];
    });
    return excesses.length === 0 ? null : Math.min(...excesses);
  });
}

/** Times a Hann window whose mean is 1. */
function hannWindowed(samples: Float32Array): Float64Array {
  const windowed = new Float64Array(samples.length);
  for (let n = 0; n < samples.length; n++)
    windowed[n] = samples[n] * (1 - Math.cos((2 * Math.PI * (n + 0.5)) / samples.length));
  return windowed;
}

/** Amplitude of a sine at a frequency in cycles a sample, with a phasor turned from sample to sample. */
function amplitudeAt(windowed: Float64Array, frequency: number): number {
  const turnCos = Math.cos(2 * Math.PI * frequency);
  const turnSin = Math.sin(2 * Math.PI * frequency);
  let [real, imag] = [0, 0];
  for (let n = 0, cos = 1, sin = 0; n < windowed.length; n++) {
    real += windowed[n] * cos;
    imag += windowed[n] * sin;
    const before = cos;
    cos = before * turnCos - sin * turnSin;
    sin = before * turnSin + sin * turnCos;
  }
  return (2 * Math.hypot(real, imag)) / windowed.length;
}
