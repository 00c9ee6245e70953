import type { Sound } from '../audio/sound.ts';
import type { Decimator } from '../dsp/decimate.ts';

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
    const looks = readDecimated(sound, { channels, decimator, start: at, outputs });
    count += outputs;
    looks.forEach((look, i) => {
      for (let n = 0; n < look.length; n++) {
        sums[i].first += look[n];
        sums[i].second += look[n] * look[n];
      }
    });
  }
  // Without a recorder's offset.
  const power = new Map(
    channels.map((channel, i) => [channel, sums[i].second - sums[i].first ** 2 / Math.max(1, count)]),
  );
  return [...channels].sort((a, b) => power.get(b)! - power.get(a)!);
}

/** `length` decimated samples of a channel from decimated sample `start`, read in blocks that fit in little memory. */
export function readPiece(
  sound: Sound,
  of: { channel: number; decimator: Decimator; start: number; length: number },
): Float32Array {
  const piece = new Float32Array(of.length);
  const blockOutputs = Math.floor(READ_BLOCK_FRAMES / of.decimator.factor);
  for (let done = 0; done < of.length; done += blockOutputs) {
    const outputs = Math.min(blockOutputs, of.length - done);
    const [block] = readDecimated(sound, { ...of, channels: [of.channel], start: of.start + done, outputs });
    piece.set(block, done);
  }
  return withoutOffset(piece);
}

let read: Float32Array[] = [];

/** `outputs` decimated samples of each of the channels. */
function readDecimated(
  sound: Sound,
  of: { channels: readonly number[]; decimator: Decimator; start: number; outputs: number },
): Float32Array[] {
  const { factor, margin } = of.decimator;
  const start = of.start * factor - margin;
  const count = (of.outputs - 1) * factor + 2 * margin + 1;
  const fits = read.length === sound.channelCount && of.channels.every((i) => read[i].length === count);
  read = sound.readSection({ start, count, channels: of.channels, into: fits ? read : undefined });
  return of.channels.map((channel) => of.decimator.decimate(read[channel]));
}

/** A recorder's offset would count as signal that no sweep explains. */
function withoutOffset(piece: Float32Array): Float32Array {
  let sum = 0;
  for (let n = 0; n < piece.length; n++) sum += piece[n];
  const mean = sum / piece.length;
  for (let n = 0; n < piece.length; n++) piece[n] -= mean;
  return piece;
}
