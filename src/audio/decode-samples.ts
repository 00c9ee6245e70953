import { kernels } from '../dsp/kernels/kernels.ts';
import type { WavFormat } from './wav-format.ts';

/**
 * Decodes the first `frames` frames of `bytes` into `channels`, those of `wanted`, from index `at` on. Integers are divided
 * by 2^(bits-1); floating-point samples that are not numbers read as 0.
 */
type Decoder = (job: {
  bytes: Uint8Array;
  frames: number;
  channels: readonly Float32Array[];
  wanted: readonly number[];
  at: number;
}) => void;

export function decoderFor(format: WavFormat): Decoder {
  const { bytesPerSample, blockBytes } = format;
  const decode = decodeOf(format);
  return ({ bytes, frames, channels, wanted, at }) => {
    for (const channel of wanted)
      decode(bytes, channels[channel], channel * bytesPerSample, blockBytes, at, frames);
  };
}

function decodeOf({ coding, bytesPerSample }: WavFormat) {
  if (coding === 'float') return bytesPerSample === 8 ? kernels.decodeFloat64 : kernels.decodeFloat32;
  switch (bytesPerSample) {
    case 1:
      return kernels.decodeUint8;
    case 2:
      return kernels.decodeInt16;
    case 3:
      return kernels.decodeInt24;
    default:
      return kernels.decodeInt32;
  }
}
