import type { ByteSource } from '../audio/byte-source.ts';

/** A file that stays open until it is closed. */
export type OpenFile = ByteSource & { close(): void };

/**
 * Where the files of a job are: a folder on the disk, or what a browser keeps. Each shell implements it; commands know
 * nothing else of either.
 */
export interface JobFolder {
  /** What messages call it. */
  readonly name: string;
  /**
   * Names of the files in it, or in a folder inside it, in order; none where there is no such folder.
   *
   * @throws SteptoneError 'file-missing' where the folder may not be read
   */
  names(inside?: string): string[];
  /** @throws SteptoneError 'file-missing' where there is none, it is no file, or it may not be read */
  open(file: string): OpenFile;
  /** What messages call a file in it. */
  place(file: string): string;
}

/** Work with a file that is closed afterwards, whatever happens. */
export function withFile<Answer>(
  { folder, file }: { folder: JobFolder; file: string },
  work: (source: ByteSource) => Answer,
): Answer {
  const source = folder.open(file);
  try {
    return work(source);
  } finally {
    source.close();
  }
}

/** All bytes of a short file. */
export function bytesOf(source: ByteSource): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(source.byteLength);
  return bytes.subarray(0, source.read(0, bytes));
}
