import { SteptoneError } from '../model/errors.ts';
import type { ByteSource } from './byte-source.ts';
import { chunkFollows, knownChunkAt, UNKNOWN_SIZE, type WavChunks } from './wav-chunks.ts';
import type { WavFormat } from './wav-format.ts';

/** Where the samples are. */
export interface WavSamples {
  readonly offset: number;
  /** Number of whole frames. */
  readonly length: number;
  readonly notes: readonly string[];
}

/**
 * Finds out how much sound there really is, whatever the header says: a recorder that lost power leaves a size of 0,
 * of 0xFFFFFFFF, or of more than was written; plain RIFF counts only up to 4 GiB and starts again at 0.
 *
 * @throws SteptoneError 'wav-damaged' where there is not one frame
 */
export function locateSamples(file: {
  source: ByteSource;
  chunks: WavChunks;
  format: WavFormat;
}): WavSamples {
  const { source, chunks, format } = file;
  const { offset, statedBytes } = chunks.data;
  const presentBytes = Math.max(0, source.byteLength - offset);
  const seconds = (bytes: number) => `${(bytes / format.blockBytes / format.sampleRateHz).toFixed(1)} s`;
  const notes: string[] = [];

  let bytes = statedBytes;
  if (
    statedBytes === UNKNOWN_SIZE ||
    (statedBytes === 0 && presentBytes > 0 && !knownChunkAt(source, offset))
  ) {
    bytes = presentBytes;
    notes.push(
      `The header does not say how long the sound is; all ${seconds(bytes)} up to the end of the file are used.`,
    );
  } else if (statedBytes > presentBytes) {
    bytes = presentBytes;
    notes.push(
      `The header promises ${seconds(statedBytes)} of sound; the file ends after ${seconds(bytes)}, which are used.`,
    );
  } else if (chunks.container === 'RIFF' && presentBytes - statedBytes >= 2 ** 32) {
    bytes = presentBytes;
    notes.push(`The file is longer than its kind of header can say; all ${seconds(bytes)} are used.`);
  }
  // Not used: some recorders lay out their files beforehand, and old sound of the card may stand there.
  const tailBytes = presentBytes - bytes;
  if (tailBytes >= format.blockBytes * format.sampleRateHz && !chunkFollows(source, offset + bytes)) {
    notes.push(
      `Behind the sound are bytes for ${seconds(tailBytes)} more, which the header does not count: left out.`,
    );
  }

  const length = Math.floor(bytes / format.blockBytes);
  if (length === 0) throw noSamples(source.name);
  if (bytes % format.blockBytes !== 0) notes.push('The last sample frame is cut off and left out.');
  return { offset, length, notes };
}

function noSamples(where: string): SteptoneError {
  return new SteptoneError({
    code: 'wav-damaged',
    expected: 'sound',
    found: 'a header without a single sample behind it',
    where,
    likelyCause: 'the recorder was stopped at once or lost power',
    nextStep: 'record the take again',
  });
}
