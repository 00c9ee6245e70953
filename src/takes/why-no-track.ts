import type { Sound } from '../audio/sound.ts';
import { powerSpectrum, TONE_HALF_WIDTH_BINS } from '../dsp/power-spectrum.ts';
import { type AbortedTrack, findTracks } from './find-takes.ts';

/** Player and recorder that disagree between 44.1 and 48 kHz play the track this much too fast or too slow. */
const RATE_SLIPS = [48 / 44.1, 44.1 / 48, 2, 0.5] as const;
const LOOK_SECONDS = 3;
/** A steady tone holds nearly all of the power. */
const TONE_PART = 0.8;
const SILENT_RMS = 1e-4;

/**
 * What a recording holds in place of a whole track, in words for an error: the likely cause and what to do.
 *
 * @param aborted playings of the track that were found in it, broken off
 */
export function whyNoTrack(of: {
  sound: Sound;
  channels: readonly number[];
  aborted: readonly AbortedTrack[];
}): { likelyCause: string; nextStep: string } {
  const { sound, channels } = of;
  const [aborted] = of.aborted;
  if (aborted !== undefined)
    return {
      likelyCause: `the track that begins at ${aborted.startSeconds.toFixed(1)} s is broken off at ${aborted.endSeconds.toFixed(1)} s`,
      nextStep: 'record this take again and let the track play to its end',
    };
  const middle = middleOf(sound, channels);
  if (middle.every((samples) => Math.sqrt(meanSquare(samples)) < SILENT_RMS))
    return {
      likelyCause: 'nothing was connected, or the radio was muted',
      nextStep: 'check the wiring and the recorder’s inputs, then record again',
    };
  const slip = RATE_SLIPS.find((ratio) => {
    const otherRate = { ...sound, sampleRateHz: sound.sampleRateHz * ratio };
    return findTracks(otherRate, channels, { tweetersToo: false }).takes.length > 0;
  });
  if (slip !== undefined)
    return {
      likelyCause: `the track runs ${slip > 1 ? 'slow' : 'fast'} by a factor of ${Math.max(slip, 1 / slip).toFixed(3)}: player or recorder was set to another sample rate than the file says`,
      nextStep: 'set both to the rate of their files and record again',
    };
  const toneHz = middle.map((samples) => steadyToneHz(samples, sound.sampleRateHz)).find((hz) => hz !== null);
  return toneHz !== undefined
    ? {
        likelyCause: `a steady tone of ${toneHz.toFixed(0)} Hz was played: a meter tone in place of the track`,
        nextStep: 'play the test track and record this take again',
      }
    : {
        likelyCause: 'another file was played',
        nextStep: 'listen to the file, then record this take again with the test track',
      };
}

function middleOf(sound: Sound, channels: readonly number[]): Float32Array[] {
  const count = Math.min(sound.length, Math.round(LOOK_SECONDS * sound.sampleRateHz));
  const section = sound.readSection({ start: Math.floor((sound.length - count) / 2), count });
  return channels.map((channel) => section[channel]);
}

function meanSquare(samples: Float32Array): number {
  return samples.reduce((sum, value) => sum + value * value, 0) / Math.max(1, samples.length);
}

function steadyToneHz(samples: Float32Array, sampleRateHz: number): number | null {
  if (samples.length < 2048) return null;
  const size = 2 ** Math.floor(Math.log2(samples.length));
  const { power, binHz } = powerSpectrum(samples, { size, sampleRateHz });
  const strongest = power.reduce((best, value, k) => (value > power[best] ? k : best), 1);
  const sum = (values: Float64Array) => values.reduce((total, value) => total + value, 0);
  const lobe = power.subarray(
    Math.max(0, strongest - TONE_HALF_WIDTH_BINS),
    strongest + TONE_HALF_WIDTH_BINS + 1,
  );
  return sum(lobe) > TONE_PART * sum(power) ? strongest * binHz : null;
}
