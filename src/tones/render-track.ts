import { triangularDither } from '../audio/dither.ts';
import { sixteenBitSample } from './sixteen-bits.ts';
import { type Section, sectionProgramme, sectionValues, type Track } from './track.ts';

/** Both rates that players of every age take from a stick. */
export const TRACK_RATES_HZ = [44_100, 48_000] as const;

/** Any numbers; fixed, so that the same track is the same file wherever it is made. */
const DITHER_SEEDS = { left: 20_001, right: 20_002 };

/**
 * A track as stereo samples, ready to be written with 16 bits.
 *
 * Everything is dithered, each side on its own, except for the silence section, which is true digital zero: a player or
 * radio that mutes on silence looks for zeros, and the noise measured there is to be the radio's, not the track's.
 *
 * @returns left and right, multiples of 2^-15, at most 1 - 2^-15
 */
export function renderTrack(track: Track, sampleRateHz: number): { left: Float32Array; right: Float32Array } {
  const length = Math.round(track.durationSeconds * sampleRateHz);
  const left = new Float32Array(length);
  const right = new Float32Array(length);
  for (const section of track.sections) addSection({ section, sampleRateHz, left, right });
  ditherToSixteenBits(left, DITHER_SEEDS.left, track, sampleRateHz);
  ditherToSixteenBits(right, DITHER_SEEDS.right, track, sampleRateHz);
  return { left, right };
}

interface SectionJob {
  readonly section: Section;
  readonly sampleRateHz: number;
  readonly left: Float32Array;
  readonly right: Float32Array;
}

function addSection({ section, sampleRateHz, left, right }: SectionJob): void {
  const programme = sectionProgramme(section);
  const { first, end } = samplesOf(section, sampleRateHz);
  const valueAt = sectionValues(section);
  for (let i = first; i < end; i++) {
    const value = valueAt(i / sampleRateHz);
    if (programme !== 'right') left[i] = value;
    if (programme !== 'left') right[i] = value;
  }
}

function ditherToSixteenBits(samples: Float32Array, seed: number, track: Track, sampleRateHz: number): void {
  const dither = triangularDither(seed);
  const silences = track.sections
    .filter((section) => section.kind === 'silence')
    .map((section) => samplesOf(section, sampleRateHz));
  let from = 0;
  for (const { first, end } of [...silences, { first: samples.length, end: samples.length }]) {
    for (let i = from; i < first; i++) samples[i] = sixteenBitSample(samples[i], dither());
    samples.fill(0, first, end);
    from = end;
  }
}

/** The samples at or after a section's start and before its end. */
function samplesOf(
  { startSeconds, durationSeconds }: Section,
  sampleRateHz: number,
): { first: number; end: number } {
  // 1e-6 of a sample: products such as 40.3 x 48000 must not be pushed to the next sample by their last bit.
  const sampleAt = (seconds: number) => Math.ceil(seconds * sampleRateHz - 1e-6);
  return { first: sampleAt(startSeconds), end: sampleAt(startSeconds + durationSeconds) };
}
