import { SteptoneError } from '../model/errors.ts';
import type { ByteSource } from './byte-source.ts';
import { fileKind } from './file-kind.ts';

/** What of a WAV file leads to its samples. */
export interface WavChunks {
  /** Content of the format chunk, its first 40 bytes. */
  readonly fmt: DataView;
  readonly data: DataChunk;
  readonly container: 'RIFF' | 'RF64' | 'BW64';
}

interface DataChunk {
  readonly offset: number;
  /** As the file states it, which need not be true. */
  readonly statedBytes: number;
}

/** "The size did not fit in 32 bits" (RF64), or "not known yet" (a recorder or a pipe that could not go back). */
export const UNKNOWN_SIZE = 0xffff_ffff;

/** Far more than any recorder writes; ends the walk through a damaged file of millions of empty chunks. */
const MOST_CHUNKS = 1000;

/** Chunks of WAV, broadcast WAV (EBU Tech 3285) and its relatives that recorders and editors write. */
const KNOWN_IDS = new Set(
  'fmt ,data,fact,LIST,cue ,plst,smpl,inst,bext,iXML,axml,chna,link,levl,JUNK,junk,PAD ,FLLR,ds64,id3 ,PEAK,cart'.split(
    ',',
  ),
);

/**
 * Walks through the chunks up to the format and the data, in whichever order.
 *
 * @throws SteptoneError 'not-wav', or 'wav-damaged' where a chunk is missing
 */
export function findWavChunks(source: ByteSource): WavChunks {
  const container = containerOf(source);
  let fmt: DataView | null = null;
  let data: DataChunk | null = null;
  let longDataBytes = UNKNOWN_SIZE;
  const seen: string[] = [];

  let at = 12;
  while ((fmt === null || data === null) && seen.length < MOST_CHUNKS) {
    const head = readAt(source, at, 8);
    if (head.byteLength < 8) break;
    const id = idAt(head, 0);
    if (!isPrintable(id)) break;
    seen.push(id.trim());
    const offset = at + 8;
    let bytes = head.getUint32(4, true);

    if (id === 'ds64') longDataBytes = longDataSize(readAt(source, offset, 16));
    if (id === 'fmt ') fmt = readAt(source, offset, Math.min(bytes, 40));
    if (id === 'data') {
      if (bytes === UNKNOWN_SIZE) bytes = longDataBytes;
      data = { offset, statedBytes: bytes };
    }
    at = afterChunk(source, offset + bytes, bytes % 2 === 1);
  }

  if (fmt !== null && data !== null) return { fmt, data, container };
  throw new SteptoneError({
    code: 'wav-damaged',
    expected: 'a format chunk and a data chunk',
    found:
      seen.length === 0 ? 'neither' : `${fmt === null ? 'no format' : 'no data'} chunk, only ${listed(seen)}`,
    where: source.name,
    likelyCause: 'a copy that broke off, or a recorder that lost power',
    nextStep: 'copy the file again from the recorder, or record the take again',
  });
}

/** Whether a chunk that recorders write begins at an offset. */
export function knownChunkAt(source: ByteSource, offset: number): boolean {
  const head = readAt(source, offset, 8);
  return head.byteLength === 8 && KNOWN_IDS.has(idAt(head, 0));
}

/** Whether something like a chunk, known or not, begins at an offset or behind a padding byte. */
export function chunkFollows(source: ByteSource, offset: number): boolean {
  return [offset, offset + 1].some((at) => {
    const head = readAt(source, at, 8);
    return (
      head.byteLength === 8 &&
      isPrintable(idAt(head, 0)) &&
      at + 8 + head.getUint32(4, true) <= source.byteLength
    );
  });
}

function containerOf(source: ByteSource): WavChunks['container'] {
  const head = readAt(source, 0, 16);
  if (head.byteLength >= 12 && idAt(head, 8) === 'WAVE') {
    const id = idAt(head, 0);
    if (id === 'RIFF' || id === 'RF64' || id === 'BW64') return id;
  }
  throw new SteptoneError({
    code: 'not-wav',
    expected: 'a WAV file',
    found: fileKind(new Uint8Array(head.buffer, 0, head.byteLength)),
    where: source.name,
    nextStep:
      'set the recorder to WAV (PCM) and record again; converting a compressed file does not bring back what it lost',
  });
}

/**
 * A chunk of odd length is followed by a padding byte, which some writers leave out: what looks like the next
 * chunk decides.
 */
function afterChunk(source: ByteSource, end: number, odd: boolean): number {
  if (!odd) return end;
  const next = readAt(source, end, 5);
  if (next.byteLength < 5) return end + 1;
  const [unpadded, padded] = [idAt(next, 0), idAt(next, 1)];
  return !KNOWN_IDS.has(padded) && KNOWN_IDS.has(unpadded) ? end : end + 1;
}

/** The data size of a ds64 chunk, which follows the file's own size; beyond 2^53 it is no longer exact, nor needs to be. */
function longDataSize(ds64: DataView): number {
  if (ds64.byteLength < 16) return UNKNOWN_SIZE;
  return ds64.getUint32(8, true) + 2 ** 32 * ds64.getUint32(12, true);
}

function readAt(source: ByteSource, offset: number, count: number): DataView {
  const bytes = new Uint8Array(count);
  const got = offset < source.byteLength ? source.read(offset, bytes) : 0;
  return new DataView(bytes.buffer, 0, got);
}

function idAt(view: DataView, at: number): string {
  return String.fromCharCode(...[0, 1, 2, 3].map((i) => view.getUint8(at + i)));
}

function isPrintable(id: string): boolean {
  return /^[ -~]{4}$/.test(id);
}

function listed(ids: readonly string[]): string {
  const most = 8;
  return ids.slice(0, most).join(', ') + (ids.length > most ? ', ...' : '');
}
