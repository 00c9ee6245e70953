import type { ByteSource } from '../../src/audio/byte-source.ts';

/** WAV files put together chunk by chunk, so that tests can bend every rule of the format. */

export interface Chunk {
  readonly id: string;
  readonly body: readonly number[] | Uint8Array;
  /** What the header says, where it is not the true size. */
  readonly statedBytes?: number;
  /** Whether an odd chunk gets its padding byte (as the format asks). */
  readonly padded?: boolean;
}

export function riff(
  chunks: readonly Chunk[],
  { id = 'RIFF', statedBytes }: { id?: string; statedBytes?: number } = {},
): Uint8Array {
  const body = chunks.flatMap((chunk) => {
    const padding = chunk.body.length % 2 === 1 && chunk.padded !== false ? [0] : [];
    return [...ascii(chunk.id), ...u32(chunk.statedBytes ?? chunk.body.length), ...chunk.body, ...padding];
  });
  return Uint8Array.from([...ascii(id), ...u32(statedBytes ?? body.length + 4), ...ascii('WAVE'), ...body]);
}

export interface Format {
  readonly tag?: number;
  readonly channels?: number;
  readonly rateHz?: number;
  readonly bits: number;
  readonly blockBytes?: number;
}

export function fmt({ tag = 1, channels = 1, rateHz = 48000, bits, blockBytes }: Format): Chunk {
  const block = blockBytes ?? channels * Math.ceil(bits / 8);
  return {
    id: 'fmt ',
    body: [
      ...u16(tag),
      ...u16(channels),
      ...u32(rateHz),
      ...u32(rateHz * block),
      ...u16(block),
      ...u16(bits),
    ],
  };
}

/** WAVE_FORMAT_EXTENSIBLE, with the sub-format's tag and the bits that are in use. */
export function extensibleFmt(
  format: Format & { subTag: number; validBits?: number; tail?: readonly number[] },
): Chunk {
  const tail = format.tail ?? [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];
  const extension = [
    ...u16(22),
    ...u16(format.validBits ?? format.bits),
    ...u32(0),
    ...u16(format.subTag),
    ...tail,
  ];
  return { id: 'fmt ', body: [...fmt({ ...format, tag: 0xfffe }).body, ...extension] };
}

export function ds64(dataBytes: number, frames = 0): Chunk {
  return { id: 'ds64', body: [...u64(dataBytes + 72), ...u64(dataBytes), ...u64(frames), ...u32(0)] };
}

export function sourceOf(bytes: Uint8Array, name = 'take.wav'): ByteSource {
  return {
    name,
    byteLength: bytes.length,
    read(offset, target) {
      const part = bytes.subarray(offset, offset + target.length);
      target.set(part);
      return part.length;
    },
  };
}

export function u16(value: number): number[] {
  return [value & 0xff, (value >> 8) & 0xff];
}

export function u32(value: number): number[] {
  return [...u16(value & 0xffff), ...u16((value / 65536) & 0xffff)];
}

export function u64(value: number): number[] {
  return [...u32(value % 2 ** 32), ...u32(Math.floor(value / 2 ** 32))];
}

export function ascii(text: string): number[] {
  return [...text].map((char) => char.charCodeAt(0));
}
