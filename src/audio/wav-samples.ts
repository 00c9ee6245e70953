import { SteptoneError } from '../model/errors.ts';
import type { Reason } from '../model/reason.ts';
import type { ByteSource } from './byte-source.ts';
import { chunkFollows, knownChunkAt, UNKNOWN_SIZE, type WavChunks } from './wav-chunks.ts';
import type { WavFormat } from './wav-format.ts';

/** Where the samples are. */
interface WavSamples {
  readonly offset: number;
  /** Number of whole frames. */
  readonly length: number;
  readonly notes: readonly Reason[];
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
  const seconds = (bytes: number) => bytes / format.blockBytes / format.sampleRateHz;
  const notes: Reason[] = [];

  let bytes = statedBytes;
  if (
    statedBytes === UNKNOWN_SIZE ||
    (statedBytes === 0 && presentBytes > 0 && !knownChunkAt(source, offset))
  ) {
    bytes = presentBytes;
    notes.push({ code: 'header without a length', seconds: seconds(bytes) });
  } else if (statedBytes > presentBytes) {
    bytes = presentBytes;
    notes.push({
      code: 'file ends before its header says',
      statedSeconds: seconds(statedBytes),
      seconds: seconds(bytes),
    });
  } else if (chunks.container === 'RIFF' && presentBytes - statedBytes >= 2 ** 32) {
    bytes = presentBytes;
    notes.push({ code: 'longer than a header can say', seconds: seconds(bytes) });
  }
  // Not used: some recorders lay out their files beforehand, and old sound of the card may stand there.
  const tailBytes = presentBytes - bytes;
  if (tailBytes >= format.blockBytes * format.sampleRateHz && !chunkFollows(source, offset + bytes)) {
    notes.push({ code: 'bytes behind the sound', seconds: seconds(tailBytes) });
  }

  const length = Math.floor(bytes / format.blockBytes);
  if (length === 0) throw noSamples(source.name);
  if (bytes % format.blockBytes !== 0) notes.push({ code: 'last frame cut off' });
  return { offset, length, notes };
}

function noSamples(where: string): SteptoneError {
  return new SteptoneError({
    code: 'wav-damaged',
    expected: 'sound in the file',
    found: 'a header and nothing behind it',
    where,
    likelyCause: 'the recorder stopped at once or lost power',
    nextStep: 'record the take again',
  });
}
