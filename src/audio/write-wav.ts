import wavefile from 'wavefile';
import { triangularDither } from './dither.ts';

/** '32f' is floating point, the others are integers. */
type BitDepth = '16' | '24' | '32' | '32f';

interface WavContent {
  readonly sampleRateHz: number;
  /** One array a channel, all of one length; 1 is full scale. */
  readonly channels: readonly (Float32Array | Float64Array)[];
  readonly bitDepth: BitDepth;
  /** Adds triangular dither before rounding to 16 or 24 bits; the same seed gives the same bytes. */
  readonly ditherSeed?: number;
}

/** With the chunk that counts the frames of floats. */
const MOST_HEADER_BYTES = 58;

/**
 * A WAV file's bytes. Integers are rounded from samples times 2^(bits-1), and what lies beyond full scale is clipped,
 * as a recorder does. Float samples are kept as they are.
 *
 * The header is wavefile's, the samples are written by hand: the package wants integers, works through arrays of its own and
 * took 2.9 s (and its callers as much again to scale) for 44 s of six channels at 24 bits; this takes 0.3 s.
 *
 * @throws RangeError for no channels, channels of different lengths, or more than a RIFF header can count (4 GiB)
 */
export function encodeWav(content: WavContent): Uint8Array {
  const bytesPerSample = content.bitDepth === '16' ? 2 : content.bitDepth === '24' ? 3 : 4;
  const frameCount = content.channels[0]?.length ?? 0;
  if (content.channels.some((channel) => channel.length !== frameCount)) {
    throw new RangeError('channels of a WAV file must have the same length');
  }
  const header = wavHeader({ ...content, bytesPerSample, frameCount });
  const dataBytes = frameCount * content.channels.length * bytesPerSample;
  // A chunk of odd length is followed by a padding byte that its size does not count.
  const bytes = new Uint8Array(header.length + dataBytes + (dataBytes % 2));
  bytes.set(header);
  const data = new DataView(bytes.buffer, header.length, dataBytes);
  if (content.bitDepth === '32f') writeFloats(data, content.channels);
  else writeIntegers(data, content, bytesPerSample);
  return bytes;
}

/** The chunks before the samples: as wavefile makes them for one channel and no sample, with the sizes filled in. */
function wavHeader(
  shape: Pick<WavContent, 'sampleRateHz' | 'channels' | 'bitDepth'> & {
    bytesPerSample: number;
    frameCount: number;
  },
): Uint8Array {
  const { sampleRateHz, bitDepth, frameCount } = shape;
  const numChannels = shape.channels.length;
  const blockAlign = numChannels * shape.bytesPerSample;
  const dataBytes = frameCount * blockAlign;
  if (numChannels === 0) throw new RangeError('a WAV file needs at least one channel');
  if (dataBytes > 0xffff_ffff - MOST_HEADER_BYTES) throw new RangeError('too long for one WAV file (4 GiB)');
  const wav = new wavefile.WaveFile();
  // More than two channels would get a format of 40 bytes under the tag of the short one.
  wav.fromScratch(1, sampleRateHz, bitDepth, []);
  Object.assign(wav.fmt, { numChannels, blockAlign, byteRate: sampleRateHz * blockAlign });
  // Formats other than PCM carry the length of an extension (0) and a fact chunk with the number of frames (RFC 2361).
  if (bitDepth === '32f') {
    Object.assign(wav.fmt, { chunkSize: 18, cbSize: 0 });
    wav.fact = { chunkId: 'fact', chunkSize: 4, dwSampleLength: frameCount };
  }
  const header = wav.toBuffer();
  const sizes = new DataView(header.buffer);
  sizes.setUint32(4, header.length - 8 + dataBytes + (dataBytes % 2), true);
  sizes.setUint32(header.length - 4, dataBytes, true);
  return header;
}

function writeIntegers(data: DataView, { channels, ditherSeed }: WavContent, bytesPerSample: number): void {
  const fullScale = 2 ** (bytesPerSample * 8 - 1);
  const dither = ditherSeed !== undefined && bytesPerSample < 4 ? triangularDither(ditherSeed) : () => 0;
  const frameCount = channels[0].length;
  let at = 0;
  for (let frame = 0; frame < frameCount; frame++) {
    for (const channel of channels) {
      const rounded = Math.round(channel[frame] * fullScale + dither());
      const step = Math.max(-fullScale, Math.min(fullScale - 1, rounded));
      if (bytesPerSample === 2) data.setInt16(at, step, true);
      else if (bytesPerSample === 4) data.setInt32(at, step, true);
      else {
        data.setInt16(at, step, true);
        data.setInt8(at + 2, step >> 16);
      }
      at += bytesPerSample;
    }
  }
}

function writeFloats(data: DataView, channels: WavContent['channels']): void {
  const frameCount = channels[0].length;
  let at = 0;
  for (let frame = 0; frame < frameCount; frame++) {
    for (const channel of channels) {
      data.setFloat32(at, channel[frame], true);
      at += 4;
    }
  }
}
