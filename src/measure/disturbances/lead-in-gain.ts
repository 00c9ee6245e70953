import { decibels, ratioOf } from '../../dsp/decibels.ts';
import { doubles, kept, reused } from '../../dsp/kernels/kernel-arrays.ts';
import { kernels } from '../../dsp/kernels/kernels.ts';
import { toneSums } from '../../dsp/steady-tone.ts';
import { type MagnitudeCurve, magnitudeAt } from '../../model/response.ts';
import { MIDDLE_TONE_HZ, sectionOf, TREBLE_TONE_HZ } from '../../tones/track.ts';
import type { TakeReader } from '../take-reader.ts';

/** Not the bass tone: a bass limiter of the radio would do the same to it. */
const TONES_HZ = [MIDDLE_TONE_HZ, TREBLE_TONE_HZ] as const;
/** Within the lead-in, after its fade and the attack of an automatic gain. */
const FROM_SECONDS = 0.6;
const SECONDS = 0.4;
/** Beside a tone, outside the main lobe of the window. */
const BESIDE_HZ = [-25, -12.5, 12.5, 25] as const;
/** A tone must stand this many times above what lies beside it. */
const CLEAR = 10;
/** Outputs at 30 dB SNR read the lead-in within 0.5 dB (tests/faults). */
export const LEAD_IN_LACKS_DB = -1;

/** One channel of a take, held against what its sweeps say. */
interface OfChannel {
  /** Its place in the reader's channels. */
  readonly i: number;
  /** Of both programmes, clocks corrected. */
  readonly curve: MagnitudeCurve;
}

/**
 * By how much the quiet lead-in came through louder than the sweeps say, decibels: what an automatic gain does. The least of
 * the tones counts, so that neither a room nor a knock passes for it; negative where the output was still fading in. Null
 * where no tone is clear of the noise.
 */
export function leadInExcessDb(reader: TakeReader, of: OfChannel): number | null {
  const excesses = tonesOf(reader, of).flatMap(({ level, expected, beside }) =>
    level <= CLEAR * beside ? [] : [decibels(level / expected)],
  );
  return excesses.length === 0 ? null : Math.min(...excesses);
}

/** Whether the output was muted or fading in during the lead-in: every tone that should stand clear is missing or too quiet. */
export function lacksLeadIn(reader: TakeReader, of: OfChannel): boolean {
  const audible = tonesOf(reader, of).filter(({ expected, beside }) => expected > CLEAR * beside);
  return (
    audible.length > 0 &&
    audible.every(({ level, expected }) => decibels(level / expected + 1e-15) < LEAD_IN_LACKS_DB)
  );
}

function tonesOf(
  { take, startFrame, sampleRateHz, clockPpm, readOne }: TakeReader,
  { i, curve }: OfChannel,
): { level: number; expected: number; beside: number }[] {
  const leadIn = sectionOf(take.track, 'tones', 'lead-in');
  if (leadIn === undefined || take.startSeconds + FROM_SECONDS < 0) return [];
  const windowed = hannWindowed(
    readOne(i, {
      start: startFrame + Math.round(FROM_SECONDS * sampleRateHz),
      count: Math.round(SECONDS * sampleRateHz),
    }),
  );
  const drive = ratioOf(leadIn.driveDbFs);
  return TONES_HZ.flatMap((toneHz) => {
    const gain = magnitudeAt(curve, toneHz);
    if (gain === null) return [];
    const hz = toneHz / (1 + clockPpm * 1e-6) / sampleRateHz;
    const beside = BESIDE_HZ.map((offset) => amplitudeAt(windowed, hz + offset / sampleRateHz));
    return [{ level: amplitudeAt(windowed, hz), expected: gain * drive, beside: Math.max(...beside) }];
  });
}

/** Times a Hann window whose mean is 1. */
function hannWindowed(samples: Float32Array): Float64Array {
  const { length } = samples;
  const window = windows(String(length), () => {
    const values = doubles(length);
    for (let n = 0; n < length; n++) values[n] = 1 - Math.cos((2 * Math.PI * (n + 0.5)) / length);
    return values;
  });
  const windowed = windowedWork(length);
  kernels.multiply(samples, window, windowed, length);
  return windowed;
}

/** One for each rate. */
const windows = kept<Float64Array>();
const windowedWork = reused(doubles);

/** Amplitude of a sine at a frequency in cycles a sample. */
function amplitudeAt(windowed: Float64Array, frequency: number): number {
  const { real, imag } = toneSums(windowed, 2 * Math.PI * frequency);
  return (2 * Math.hypot(real, imag)) / windowed.length;
}
