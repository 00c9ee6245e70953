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
    readSection({ start, count }) {
      return channels.map((channel) => {
        const section = new Float32Array(count);
        const from = Math.max(0, start);
        const to = Math.min(length, start + count);
        if (to > from) section.set(channel.subarray(from, to), from - start);
        return section;
      });
    },
  };
}
