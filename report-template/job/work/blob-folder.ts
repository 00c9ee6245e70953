import type { JobFolder, OpenFile } from '../../../src/commands/job-folder.ts';
import { SteptoneError } from '../../../src/model/errors.ts';
import { nearestWord } from '../../../src/model/nearest-word.ts';

/** Of workers only, so that the types of a page lack it (W3C File API, 6.4). */
declare class FileReaderSync {
  readAsArrayBuffer(blob: Blob): ArrayBuffer;
}

/** One call to the browser a megabyte: the sections of a recording are read in far smaller pieces. */
const WINDOW_BYTES = 1 << 20;
const NONE: ReadonlyMap<string, Uint8Array<ArrayBuffer>> = new Map();

/**
 * Files that the browser keeps, as the commands see them. Works in a worker only: nowhere else may bytes be waited for.
 *
 * @param files by name, those in folders with the folder before a stroke
 * @param inside the folder that is meant; all where empty
 * @param fetched files of that folder whose bytes are all there already
 */
export function blobFolder(
  files: ReadonlyMap<string, Blob>,
  inside = '',
  fetched: ReadonlyMap<string, Uint8Array<ArrayBuffer>> = NONE,
): JobFolder {
  const start = inside === '' ? '' : `${inside}/`;
  return {
    name: inside === '' ? 'this job' : inside,
    names: (folder) => namesUnder(files, `${start}${folder === undefined ? '' : `${folder}/`}`),
    open: (file) => blobSource(file, files.get(`${start}${file}`) ?? missing(file, files), fetched.get(file)),
    place: (file) => `${start}${file}`,
  };
}

function namesUnder(files: ReadonlyMap<string, Blob>, start: string): string[] {
  return [...files.keys()]
    .filter((name) => name.startsWith(start) && !name.slice(start.length).includes('/'))
    .map((name) => name.slice(start.length))
    .sort();
}

function blobSource(name: string, blob: Blob, bytes = new Uint8Array(0)): OpenFile {
  const reader = new FileReaderSync();
  let held = bytes;
  let heldAt = 0;
  return {
    name,
    byteLength: blob.size,
    read(offset, target) {
      const end = Math.min(blob.size, offset + target.length);
      if (end <= offset) return 0;
      if (offset < heldAt || end > heldAt + held.length) {
        held = bytesOf(
          reader,
          blob.slice(offset, Math.max(end, Math.min(blob.size, offset + WINDOW_BYTES))),
          name,
        );
        heldAt = offset;
      }
      target.set(held.subarray(offset - heldAt, end - heldAt));
      return end - offset;
    },
    close() {
      held = new Uint8Array(0);
    },
  };
}

/** The browser refuses where a file was changed, moved or pulled out after it was given to the page. */
function bytesOf(reader: FileReaderSync, piece: Blob, name: string): Uint8Array<ArrayBuffer> {
  try {
    return new Uint8Array(reader.readAsArrayBuffer(piece));
  } catch (error) {
    throw new SteptoneError({
      code: 'file-missing',
      expected: 'a file that Steptone can read',
      found: `the browser says no (${error instanceof Error ? error.name : error})`,
      where: name,
      likelyCause: 'somebody moved or changed it after you dropped it here, or pulled the card out',
      nextStep: 'drop it again',
    });
  }
}

function missing(file: string, files: ReadonlyMap<string, Blob>): never {
  const near = nearestWord({ written: file, words: [...files.keys()] });
  throw new SteptoneError({
    code: 'file-missing',
    expected: 'a file of this job',
    found: 'nothing there',
    where: file,
    likelyCause: 'a slip in the name, or you have not dropped that recording yet',
    nextStep: near === undefined ? 'drop it, or correct its name' : `write '${near}' if you meant that`,
  });
}
