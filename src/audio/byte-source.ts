/** Bytes that can be read in any order: `cli/` implements it on files, tests on buffers. Nothing in `src/` opens a file. */
export interface ByteSource {
  /** What to call it in messages. */
  readonly name: string;
  readonly byteLength: number;
  /** Fills `target` from `offset`; answers how many bytes there were (fewer at the end). Synchronous: sections are read many times. */
  read(offset: number, target: Uint8Array): number;
}
