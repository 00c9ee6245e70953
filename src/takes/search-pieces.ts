import type { Sound } from '../audio/sound.ts';
import type { Decimator } from '../dsp/decimate.ts';
import { floats, reused } from '../dsp/kernels/kernel-arrays.ts';

/** Half a megabyte a channel (chosen here). */
const READ_BLOCK_FRAMES = 2 ** 17;

/** Piece of a recording at the rate of the search. */
export interface Piece {
  /** First decimated sample. */
  readonly start: number;
  /** The channels, strongest first. */
  readonly byStrength: readonly number[];
}

/** Overlapping pieces that cover a recording; lengths in decimated samples. */
export function piecesOf(
  sound: Sound,
  of: { channels: readonly number[]; decimator: Decimator; pieceLength: number; overlap: number },
): Piece[] {
  const pieces: Piece[] = [];
  for (let start = 0; ; start += of.pieceLength - of.overlap) {
    pieces.push({ start, byStrength: byStrength(sound, { ...of, start }) });
    if ((start + of.pieceLength) * of.decimator.factor >= sound.length) return pieces;
  }
}

/** The power of channels is compared by short looks this far apart: every part of the track lasts longer. */
const LOOK_EVERY_SECONDS = 0.5;
const LOOK_SECONDS = 0.04;

function byStrength(
  sound: Sound,
  of: { channels: readonly number[]; decimator: Decimator; start: number; pieceLength: number },
): number[] {
  const { channels, decimator } = of;
  if (channels.length === 1) return [...channels];
  const rateHz = sound.sampleRateHz / decimator.factor;
  const outputs = Math.ceil(LOOK_SECONDS * rateHz);
  const sums = channels.map(() => ({ first: 0, second: 0 }));
  let count = 0;
  for (let at = of.start; at < of.start + of.pieceLength; at += Math.ceil(LOOK_EVERY_SECONDS * rateHz)) {
    readDecimated(sound, { channels, decimator, start: at, outputs }, (look, i) => {
      for (let n = 0; n < look.length; n++) {
        sums[i].first += look[n];
        sums[i].second += look[n] * look[n];
      }
    });
    count += outputs;
  }
  // Without a recorder's offset.
  const power = new Map(
    channels.map((channel, i) => [channel, sums[i].second - sums[i].first ** 2 / Math.max(1, count)]),
  );
  return [...channels].sort((a, b) => power.get(b)! - power.get(a)!);
}

/**
 * `length` decimated samples of each of the channels from decimated sample `start`, read in blocks that fit in little memory.
 * The next call overwrites them.
 */
export function readPiece(
  sound: Sound,
  of: { channels: readonly number[]; decimator: Decimator; start: number; length: number },
): Float32Array[] {
  const pieces = of.channels.map((_, i) => {
    pieceWork[i] ??= reused(floats);
    return pieceWork[i](of.length);
  });
  const blockOutputs = Math.floor(READ_BLOCK_FRAMES / of.decimator.factor);
  for (let done = 0; done < of.length; done += blockOutputs) {
    const outputs = Math.min(blockOutputs, of.length - done);
    readDecimated(sound, { ...of, start: of.start + done, outputs }, (decimated, i) =>
      pieces[i].set(decimated, done),
    );
  }
  return pieces.map(withoutOffset);
}

const pieceWork: ((count: number) => Float32Array)[] = [];
const outputWork = reused(floats);
const readWork: ((count: number) => Float32Array)[] = [];
const NOT_READ = new Float32Array(0);

/** `outputs` decimated samples of each of the channels, one after the other. */
function readDecimated(
  sound: Sound,
  of: { channels: readonly number[]; decimator: Decimator; start: number; outputs: number },
  take: (decimated: Float32Array, i: number) => void,
): void {
  const { channels } = of;
  const { factor, margin } = of.decimator;
  const start = of.start * factor - margin;
  const count = (of.outputs - 1) * factor + 2 * margin + 1;
  const into = Array.from({ length: sound.channelCount }, (_, channel) => {
    if (!channels.includes(channel)) return NOT_READ;
    readWork[channel] ??= reused(floats);
    return readWork[channel](count);
  });
  const read = sound.readSection({ start, count, channels, into });
  channels.forEach((channel, i) => {
    take(of.decimator.decimate(read[channel], outputWork(of.outputs)), i);
  });
}

/** A recorder's offset would count as signal that no sweep explains. */
function withoutOffset(piece: Float32Array): Float32Array {
  let sum = 0;
  for (let n = 0; n < piece.length; n++) sum += piece[n];
  const mean = sum / piece.length;
  for (let n = 0; n < piece.length; n++) piece[n] -= mean;
  return piece;
}
