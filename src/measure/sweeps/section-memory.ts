import type { Sound } from '../../audio/sound.ts';

/** Two sections can be held at a time. */
type Place = 'first' | 'second';

/** So much is held in a place: six channels of a long section at 192 kHz, 24 at 48 kHz. */
const MOST_BYTES = 32e6;

/** The n-th array serves the n-th channel that is asked for. */
const memory: Record<Place, Float32Array[]> = { first: [], second: [] };

/** Places in `channels`, in parts whose sections of `count` samples can be held at a time. */
export function inParts(channels: readonly number[], count: number): number[][] {
  const most = Math.max(1, Math.floor(MOST_BYTES / (Float32Array.BYTES_PER_ELEMENT * count)));
  const places = channels.map((_, i) => i);
  return Array.from({ length: Math.ceil(places.length / most) }, (_, part) =>
    places.slice(part * most, (part + 1) * most),
  );
}

/**
 * Reads a section into memory that is used again and again: fresh megabytes cost more than reading and decoding into them.
 *
 * @param place what was read into it before is overwritten
 * @returns one array a channel, as `Sound.readSection` has them; only those of `channels` hold samples
 */
export function readShared(
  sound: Sound,
  of: { place: Place; start: number; count: number; channels: readonly number[] },
): Float32Array[] {
  const { start, count, channels } = of;
  const kept = memory[of.place];
  channels.forEach((_, n) => {
    if ((kept[n]?.length ?? 0) < count) kept[n] = new Float32Array(count);
  });
  const into = Array.from({ length: sound.channelCount }, (_, channel) => {
    const n = channels.indexOf(channel);
    return n < 0 ? new Float32Array(0) : kept[n].subarray(0, count);
  });
  return sound.readSection({ start, count, channels, into });
}
