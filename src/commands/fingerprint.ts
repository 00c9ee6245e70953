import type { ByteSource } from '../audio/byte-source.ts';
import type { Results } from '../model/results.ts';

export type Fingerprint = Results['inputs'][number];

/** SHA-256 (FIPS 180-4) of bytes given one block after another; each shell brings the fastest it has. */
export interface Sha256 {
  update(bytes: Uint8Array): void;
  hex(): string;
}

/** Of a text in UTF-8. */
export function textHash(sha256: () => Sha256): { sha256Hex: (text: string) => string } {
  return {
    sha256Hex(text) {
      const hash = sha256();
      hash.update(new TextEncoder().encode(text));
      return hash.hex();
    },
  };
}

/** A megabyte at a time: long files never lie in memory as a whole (chosen here). */
const HASH_BLOCK_BYTES = 1 << 20;

/** One for all files: of a fresh one for each, a hundred lie about until somebody clears up. */
let block: Uint8Array | undefined;

/** Of all bytes of a file, under the name that the results call it by. */
export function fingerprintOf(of: { source: ByteSource; file: string; sha256: () => Sha256 }): Fingerprint {
  return hashedAlong(of.source, of.sha256).fingerprint(of.file);
}

/**
 * The same bytes, hashed while others read them: whoever reads a file from its beginning spares its fingerprint a second
 * reading. What nobody has read in order is read for the fingerprint, which is asked for once, at the end.
 */
export function hashedAlong<Source extends ByteSource>(
  source: Source,
  sha256: () => Sha256,
): Source & { fingerprint(file: string): Fingerprint } {
  const hash = sha256();
  let hashed = 0;
  const read = (offset: number, target: Uint8Array) => {
    const count = source.read(offset, target);
    if (offset <= hashed && offset + count > hashed) {
      hash.update(target.subarray(hashed - offset, count));
      hashed = offset + count;
    }
    return count;
  };
  return {
    ...source,
    read,
    fingerprint(file) {
      block ??= new Uint8Array(HASH_BLOCK_BYTES);
      while (hashed < source.byteLength && read(hashed, block) > 0);
      return { file, sha256: hash.hex(), byteLength: source.byteLength };
    },
  };
}
