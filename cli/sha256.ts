import { createHash } from 'node:crypto';
import type { Sha256 } from '../src/commands/fingerprint.ts';

/** The processor's own, through Node. */
export function sha256(): Sha256 {
  const hash = createHash('sha256');
  return { update: (bytes) => void hash.update(bytes), hex: () => hash.digest('hex') };
}
