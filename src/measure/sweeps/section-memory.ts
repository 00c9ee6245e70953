import type { Sound } from '../../audio/sound.ts';

/** Two sections can be held at a time. */
type Place = 'first' | 'second';

const memory: Record<Place, Float32Array[]> = { first: [], second: [] };

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
  for (const channel of channels)
    if ((kept[channel]?.length ?? 0) < count) kept[channel] = new Float32Array(count);
  const into = Array.from(
    { length: sound.channelCount },
    (_, channel) => kept[channel]?.subarray(0, count) ?? new Float32Array(0),
  );
  return sound.readSection({ start, count, channels, into });
}
