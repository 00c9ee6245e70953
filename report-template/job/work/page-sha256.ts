import { sha256 as startSha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import type { Fingerprint, Sha256 } from '../../../src/commands/fingerprint.ts';

/** The browser's own hash wants all bytes at once: up to here it is worth the memory, as it is five times as fast. */
const MOST_BYTES_AT_ONCE = 64e6;

/** Block by block, for anything. */
export function pageSha256(): Sha256 {
  const hash = startSha256.create();
  return {
    update(bytes) {
      hash.update(bytes);
    },
    hex: () => bytesToHex(hash.digest()),
  };
}

/** As a content policy names a script. */
export function sha256Base64(text: string): string {
  return btoa(String.fromCharCode(...startSha256(new TextEncoder().encode(text))));
}

/** By the browser, where the file is short enough; undefined where it is not, or cannot be read. */
export async function nativeFingerprint(
  file: string,
  blob: Blob | undefined,
): Promise<Fingerprint | undefined> {
  if (blob === undefined || blob.size > MOST_BYTES_AT_ONCE) return undefined;
  try {
    const digest = await crypto.subtle.digest('SHA-256', await blob.arrayBuffer());
    return { file, sha256: bytesToHex(new Uint8Array(digest)), byteLength: blob.size };
  } catch {
    return undefined;
  }
}
