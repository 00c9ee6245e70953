import type { Sound } from '../../../src/audio/sound.ts';
import { findTakes } from '../../../src/takes/find-takes.ts';

/** Where the track stands in what was heard, seconds. */
export interface HeardTake {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly track: string;
}

/** The track that was played last, in samples that are still coming in; null where none is whole yet. */
export function findHeardTake({
  channels,
  sampleRateHz,
}: {
  channels: Float32Array[];
  sampleRateHz: number;
}): HeardTake | null {
  const numbers = channels.map((_, i) => i);
  const take = findTakes(memorySound(channels, sampleRateHz), numbers).at(-1);
  if (take === undefined) return null;
  const { startSeconds, track } = take;
  return { startSeconds, endSeconds: startSeconds + track.durationSeconds, track: track.name };
}

const NOT_ASKED = new Float32Array(0);

function memorySound(channels: Float32Array[], sampleRateHz: number): Sound {
  const { length } = channels[0];
  return {
    name: 'what is heard',
    sampleRateHz,
    channelCount: channels.length,
    length,
    notes: [],
    fullScaleStep: 2 ** -23,
    readSection({ start, count, into, channels: asked }) {
      return channels.map((samples, i) => {
        if (asked !== undefined && !asked.includes(i)) return NOT_ASKED;
        const target = into?.[i] ?? new Float32Array(count);
        target.fill(0);
        const from = Math.max(0, start);
        const to = Math.min(length, start + count);
        if (to > from) target.set(samples.subarray(from, to), from - start);
        return target;
      });
    },
  };
}
