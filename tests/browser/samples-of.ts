import { openWav } from '../../src/audio/read-wav.ts';

/** Everything in a WAV file. */
export function samplesOf(wav: Uint8Array): { sampleRateHz: number; channels: Float32Array[] } {
  const sound = openWav({
    name: 'kept.wav',
    byteLength: wav.length,
    read(offset, target) {
      const piece = wav.subarray(offset, offset + target.length);
      target.set(piece);
      return piece.length;
    },
  });
  const channels = sound.readSection({ start: 0, count: sound.length });
  return {
    sampleRateHz: sound.sampleRateHz,
    channels: channels.map((samples) => Float32Array.from(samples)),
  };
}
