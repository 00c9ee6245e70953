import type { Sound } from '../../audio/sound.ts';
import { floats, reused } from '../../dsp/kernels/kernel-arrays.ts';

/** Two sections can be held at a time. */
type Place = 'first' | 'second';

/** What stands in the place of a channel. */
interface Held {
  readonly sound: Sound;
  readonly start: number;
  readonly count: number;
  readonly samples: Float32Array;
}

const held: Record<Place, Map<number, Held>> = { first: new Map(), second: new Map() };
const memory: Record<Place, ((count: number) => Float32Array)[]> = { first: [], second: [] };
const NOT_READ = new Float32Array(0);

/**
 * Reads a section into memory that is used again and again: fresh megabytes cost more than reading and decoding into them.
 * What is there already is not read again.
 *
 * @param place what was read into it before is overwritten
 * @returns one array a channel, as `Sound.readSection` has them; only those of `channels` hold samples, which nobody may change
 */
export function readShared(
  sound: Sound,
  of: { place: Place; start: number; count: number; channels: readonly number[] },
): Float32Array[] {
  const { start, count } = of;
  const [there, places] = [held[of.place], memory[of.place]];
  const channels = of.channels.filter((channel) => {
    const one = there.get(channel);
    return one?.sound !== sound || one.start !== start || one.count !== count;
  });
  if (channels.length > 0) {
    for (const channel of channels) there.delete(channel);
    const into = Array.from({ length: sound.channelCount }, (_, channel) => {
      if (!channels.includes(channel)) return NOT_READ;
      places[channel] ??= reused(floats);
      return places[channel](count);
    });
    const read = sound.readSection({ start, count, channels, into });
    for (const channel of channels) there.set(channel, { sound, start, count, samples: read[channel] });
  }
  return Array.from({ length: sound.channelCount }, (_, channel) =>
    of.channels.includes(channel) ? there.get(channel)!.samples : NOT_READ,
  );
}
