import type { Sound } from '../audio/sound.ts';
import { powerSpectrum, TONE_HALF_WIDTH_BINS } from '../dsp/power-spectrum.ts';
import { meanSquare } from '../dsp/statistics.ts';
import { findTracks } from './find-takes.ts';
import type { AbortedTrack } from './take.ts';
import { isStretched, trackStretch } from './track-stretch.ts';

/** Rates that files are labelled with in place of another; the nearest factors are tried first. */
const RATES_HZ = [16_000, 22_050, 32_000, 44_100, 48_000, 88_200, 96_000, 176_400, 192_000] as const;
const WIDEST_SLIP = 2.2;
/** A factor within this of two rates’ ratio is a wrong label; another is a resampling that went wrong. */
const LABEL_WITHIN = 3e-3;

/** Long enough for a tone to stand out (chosen here). */
const LOOK_SECONDS = 3;
/** A steady tone holds nearly all of the power (common practice: what is not tone is noise 7 dB and more below). */
const TONE_PART = 0.8;
/** -80 dBFS: the hiss of an open input lies below (common practice). */
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
  const stretch = trackStretch(sound, channels);
  if (stretch !== null && isStretched(stretch)) return runsOtherwise(stretch);
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
  const slip = slipsOf(sound.sampleRateHz).find((ratio) => {
    const otherRate = { ...sound, sampleRateHz: sound.sampleRateHz * ratio };
    return findTracks(otherRate, channels, { tweetersToo: false }).takes.length > 0;
  });
  if (slip !== undefined) return runsOtherwise(slip);
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

/** What the true rate may be, over the one that the file says. */
function slipsOf(sampleRateHz: number): number[] {
  return RATES_HZ.map((rate) => rate / sampleRateHz)
    .filter((ratio) => ratio !== 1 && ratio < WIDEST_SLIP && ratio > 1 / WIDEST_SLIP)
    .sort((one, other) => Math.abs(Math.log(one)) - Math.abs(Math.log(other)));
}

/** @param factor above 1 where the track takes longer than it should */
function runsOtherwise(factor: number): { likelyCause: string; nextStep: string } {
  const how = `the track runs ${factor > 1 ? 'slow' : 'fast'} by a factor of ${Math.max(factor, 1 / factor).toFixed(3)}`;
  const isLabel = RATES_HZ.some((one) =>
    RATES_HZ.some((other) => one !== other && Math.abs(one / other / factor - 1) < LABEL_WITHIN),
  );
  return isLabel
    ? {
        likelyCause: `${how}: player or recorder was set to another sample rate than the file says`,
        nextStep: 'set both to the rate of their files and record again',
      }
    : {
        likelyCause: `${how}: the recording was resampled or stretched`,
        nextStep: 'give the file as the recorder wrote it, or record again with all such treatment off',
      };
}

function middleOf(sound: Sound, channels: readonly number[]): Float32Array[] {
  const count = Math.min(sound.length, Math.round(LOOK_SECONDS * sound.sampleRateHz));
  const section = sound.readSection({ start: Math.floor((sound.length - count) / 2), count });
  return channels.map((channel) => section[channel]);
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
