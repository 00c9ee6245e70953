import { sha256 as startSha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import type { Fingerprint, Sha256 } from '../../../src/commands/fingerprint.ts';

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

/** By the browser, of bytes that are all there. */
export async function nativeFingerprint(file: string, bytes: Uint8Array<ArrayBuffer>): Promise<Fingerprint> {
  const digest = await crypto.subtle.digest('SHA-256', bytes);
  return { file, sha256: bytesToHex(new Uint8Array(digest)), byteLength: bytes.length };
}
