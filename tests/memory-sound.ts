import type { Sound } from '../src/audio/sound.ts';

/** A recording held in memory. */
export function memorySound(of: {
  sampleRateHz: number;
  channels: readonly Float32Array[];
  name?: string;
}): Sound {
  const { sampleRateHz, channels } = of;
  const length = channels[0].length;
  return {
    name: of.name ?? 'memory.wav',
    sampleRateHz,
    channelCount: channels.length,
    length,
    notes: [],
    fullScaleStep: 2 ** -23,
    readSection({ start, count, into, channels: wanted = channels.map((_, i) => i) }) {
      const from = Math.max(0, start);
      const to = Math.min(length, start + count);
      return channels.map((channel, i) => {
        const section = into?.[i].fill(0) ?? new Float32Array(wanted.includes(i) ? count : 0);
        if (wanted.includes(i) && to > from) section.set(channel.subarray(from, to), from - start);
        return section;
      });
    },
  };
}
