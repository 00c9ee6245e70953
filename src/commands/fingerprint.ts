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

/** Of all bytes of a file, under the name that the results call it by. */
export function fingerprintOf({
  source,
  file,
  sha256,
}: {
  source: ByteSource;
  file: string;
  sha256: () => Sha256;
}): Fingerprint {
  const hash = sha256();
  const block = new Uint8Array(Math.min(HASH_BLOCK_BYTES, source.byteLength));
  for (let offset = 0; offset < source.byteLength; offset += block.length) {
    const count = source.read(offset, block);
    if (count === 0) break;
    hash.update(block.subarray(0, count));
  }
  return { file, sha256: hash.hex(), byteLength: source.byteLength };
}
