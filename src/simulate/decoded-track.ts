import { renderTrack } from '../tones/render-track.ts';
import type { Track } from '../tones/track.ts';
import { lastMade } from './last-made.ts';

/** What a player's decoder gives for the 16-bit track file, full scale 1. */
export interface DecodedTrack {
  readonly left: Float64Array;
  readonly right: Float64Array;
}

/** The track as the test file holds it, dithered and rounded to 16 bits. */
export function decodedTrack({ track, sampleRateHz }: { track: Track; sampleRateHz: number }): DecodedTrack {
  return lastTracks(`${track.name} ${sampleRateHz}`, () => {
    const { left, right } = renderTrack(track, sampleRateHz);
    return { left: Float64Array.from(left), right: Float64Array.from(right) };
  });
}

/** Hundreds of scenarios play one of two tracks at one of two rates; 35 MB each at most. */
const lastTracks = lastMade<DecodedTrack>(4);
