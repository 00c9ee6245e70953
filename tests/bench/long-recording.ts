import { closeSync, ftruncateSync, openSync, writeSync } from 'node:fs';

/**
 * One recording of any length with takes at given places and nothing between them: an RF64 file of 32-bit float, sparse, so
 * that hours take little room on the disk.
 *
 * @param takes channels of each take, and where it begins; all of one rate
 */
export function writeLongRecording(of: {
  path: string;
  sampleRateHz: number;
  channelCount: number;
  seconds: number;
  takes: readonly { readonly atSeconds: number; readonly channels: readonly Float32Array[] }[];
}): { byteLength: number } {
  const { path, sampleRateHz, channelCount, seconds, takes } = of;
  const frameBytes = 4 * channelCount;
  const frames = Math.round(seconds * sampleRateHz);
  const header = rf64Header({ sampleRateHz, channelCount, frames });
  const byteLength = header.length + frames * frameBytes;
  const descriptor = openSync(path, 'w');
  writeSync(descriptor, header);
  ftruncateSync(descriptor, byteLength);
  for (const { atSeconds, channels } of takes) {
    const samples = new Float32Array(channels[0].length * channelCount);
    channels.forEach((channel, c) => {
      channel.forEach((value, n) => {
        samples[n * channelCount + c] = value;
      });
    });
    const at = header.length + Math.round(atSeconds * sampleRateHz) * frameBytes;
    writeSync(descriptor, new Uint8Array(samples.buffer), 0, samples.byteLength, at);
  }
  closeSync(descriptor);
  return { byteLength };
}

/** RF64 with its sizes in a ds64 chunk (EBU Tech 3306), 32-bit float. */
function rf64Header(of: { sampleRateHz: number; channelCount: number; frames: number }): Uint8Array {
  const { sampleRateHz, channelCount, frames } = of;
  const frameBytes = 4 * channelCount;
  const dataBytes = BigInt(frames) * BigInt(frameBytes);
  const bytes = Buffer.alloc(80);
  bytes.write('RF64', 0, 'latin1');
  bytes.writeUInt32LE(0xffff_ffff, 4);
  bytes.write('WAVEds64', 8, 'latin1');
  bytes.writeUInt32LE(28, 16);
  bytes.writeBigUInt64LE(dataBytes + 72n, 20);
  bytes.writeBigUInt64LE(dataBytes, 28);
  bytes.writeBigUInt64LE(BigInt(frames), 36);
  bytes.write('fmt ', 48, 'latin1');
  bytes.writeUInt32LE(16, 52);
  bytes.writeUInt16LE(3, 56);
  bytes.writeUInt16LE(channelCount, 58);
  bytes.writeUInt32LE(sampleRateHz, 60);
  bytes.writeUInt32LE(sampleRateHz * frameBytes, 64);
  bytes.writeUInt16LE(frameBytes, 68);
  bytes.writeUInt16LE(32, 70);
  bytes.write('data', 72, 'latin1');
  bytes.writeUInt32LE(0xffff_ffff, 76);
  return bytes;
}
