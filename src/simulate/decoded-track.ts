import { renderTrack } from '../tones/render-track.ts';
import type { Track } from '../tones/track.ts';

/** What a player's decoder gives for the 16-bit track file, full scale 1. */
export interface DecodedTrack {
  readonly left: Float64Array;
  readonly right: Float64Array;
}

/** The last track is kept: hundreds of scenarios play the same file. */
let last: { key: string; decoded: DecodedTrack } | null = null;

/** The track as the test file holds it, dithered and rounded to 16 bits. */
export function decodedTrack({ track, sampleRateHz }: { track: Track; sampleRateHz: number }): DecodedTrack {
  const key = `${track.name} ${sampleRateHz}`;
  if (last?.key === key) return last.decoded;
  const { left, right } = renderTrack(track, sampleRateHz);
  const decoded = { left: Float64Array.from(left), right: Float64Array.from(right) };
  last = { key, decoded };
  return decoded;
}
