import type { WavFormat } from './wav-format.ts';

/** Decodes the first `frames` frames of the bytes it was made for into `channels`, those of `wanted`, from index `at` on. */
export type Decoder = (job: {
  frames: number;
  channels: readonly Float32Array[];
  wanted: readonly number[];
  at: number;
}) => void;

/** Decodes one channel: `offset` is its first byte, `stride` the bytes from one frame to the next. */
type ChannelDecoder = (job: {
  offset: number;
  stride: number;
  frames: number;
  out: Float32Array;
  at: number;
}) => void;

/**
 * A decoder for a sample format, bound to the buffer that is filled again and again. There is one plain loop a format,
 * because these loops see every sample of every recording. Integers are moved to the top of 32 bits, which makes
 * their scale 2^-31 whatever their length.
 */
export function decoderFor(format: WavFormat, bytes: Uint8Array): Decoder {
  const decodeChannel = channelDecoder(format, bytes);
  return ({ frames, channels, wanted, at }) => {
    for (const channel of wanted)
      decodeChannel({
        offset: channel * format.bytesPerSample,
        stride: format.blockBytes,
        frames,
        out: channels[channel],
        at,
      });
  };
}

function channelDecoder({ coding, bytesPerSample }: WavFormat, bytes: Uint8Array): ChannelDecoder {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const scale = 2 ** -31;
  if (coding === 'float') {
    const isDouble = bytesPerSample === 8;
    return ({ offset, stride, frames, out, at }) => {
      for (let i = 0, byte = offset; i < frames; i++, byte += stride) {
        // Rounded first: a double that 32 bits cannot hold becomes an infinity.
        const value = Math.fround(isDouble ? view.getFloat64(byte, true) : view.getFloat32(byte, true));
        out[at + i] = value - value === 0 ? value : 0; // infinities and NaN would spoil everything downstream
      }
    };
  }
  switch (bytesPerSample) {
    case 1: // unsigned, 128 is silence
      return ({ offset, stride, frames, out, at }) => {
        for (let i = 0, byte = offset; i < frames; i++, byte += stride)
          out[at + i] = (bytes[byte] - 128) / 128;
      };
    case 2:
      return ({ offset, stride, frames, out, at }) => {
        for (let i = 0, byte = offset; i < frames; i++, byte += stride) {
          out[at + i] = ((bytes[byte] << 16) | (bytes[byte + 1] << 24)) * scale;
        }
      };
    case 3:
      return ({ offset, stride, frames, out, at }) => {
        for (let i = 0, byte = offset; i < frames; i++, byte += stride) {
          out[at + i] = ((bytes[byte] << 8) | (bytes[byte + 1] << 16) | (bytes[byte + 2] << 24)) * scale;
        }
      };
    default:
      return ({ offset, stride, frames, out, at }) => {
        for (let i = 0, byte = offset; i < frames; i++, byte += stride)
          out[at + i] = view.getInt32(byte, true) * scale;
      };
  }
}
