import type { Sound } from '../audio/sound.ts';
import { fullTrack, responseTrack, type Track } from '../tones/track.ts';
import { sweepSections } from './choose-takes.ts';
import { sweepHits } from './find-takes.ts';

/** Whether a factor is more than two clocks differ by. */
export function isStretched(factor: number): boolean {
  return Math.abs(factor - 1) > LEAST_STRETCH;
}

/** Hits are found within a few milliseconds: over 6.7 s that is half a part in a thousand. */
const LEAST_STRETCH = 2e-3;

/**
 * By which factor a track runs slow (above 1) or fast in a recording, where it was resampled or its rate is not what the file
 * says: by the distance of the two main sweeps, which a matched filter for a sweep that is logarithmic in time still finds.
 *
 * @returns null where neither the main and the closing sweeps alike nor the closing sweeps alone tell a factor
 */
export function trackStretch(sound: Sound, channels: readonly number[]): number | null {
  const hits = sweepHits(sound, channels);
  const factors = (track: Track, ids: readonly [string, string]) => {
    const [one, other] = ids.map((id) => sweepSections(track).find((section) => section.id === id)!);
    const nominal = other.startSeconds - one.startSeconds;
    const starts = (hits.get(one.sweep) ?? []).map(({ startSeconds }) => startSeconds);
    return starts
      .flatMap((from) => starts.map((to) => (to - from) / nominal))
      .filter((factor) => Math.abs(Math.log(factor)) < Math.log(WIDEST_STRETCH));
  };
  for (const track of [fullTrack, responseTrack]) {
    const closing = factors(track, ['closing left', 'closing right']);
    const main = factors(track, ['sweep left', 'sweep right']);
    const both = main.find((factor) => closing.some((other) => Math.abs(other / factor - 1) < SAME_STRETCH));
    // A long sweep loses its correlation first.
    const told = both ?? (main.length === 0 ? closing[0] : undefined);
    if (told !== undefined) return told;
  }
  return null;
}

/** Beyond, a log sweep that is shifted by its stretch no longer looks like itself at the rate of the search. */
const WIDEST_STRETCH = 1.05;
/** Two closing sweeps are 1.9 s apart and found within some milliseconds. */
const SAME_STRETCH = 0.01;
