import { ratioOf } from '../dsp/decibels.ts';
import type { Track } from '../tones/track.ts';

/** No click (chosen here; only simulated). */
const FALL_SECONDS = 0.02;

/**
 * Gain of an output that mutes itself in digital silence, at a time after the track's start; outside the track the player
 * stands still, which is silence too. Opens at the first sound at once.
 */
export function muteGain(
  track: Track,
  { afterSeconds, attenuationDb }: { afterSeconds: number; attenuationDb: number },
  seconds: number,
): number {
  const silence = track.sections.find(({ kind }) => kind === 'silence');
  const silentFrom = silence?.startSeconds ?? track.durationSeconds;
  const closed = ratioOf(-attenuationDb);
  if (seconds < 0) return closed;
  const closing = Math.min(1, Math.max(0, (seconds - silentFrom - afterSeconds) / FALL_SECONDS));
  return 1 + closing * (closed - 1);
}
