import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { hashedAlong } from '../../src/commands/fingerprint.ts';

const bytes = Uint8Array.from({ length: 10_000 }, (_, i) => (i * 7919) % 251);
const expected = createHash('sha256').update(bytes).digest('hex');

/** A source that counts what is read of it. */
function counted() {
  const source = {
    name: 'take.wav',
    byteLength: bytes.length,
    bytesRead: 0,
    read(offset: number, target: Uint8Array) {
      const part = bytes.subarray(offset, offset + target.length);
      target.set(part);
      source.bytesRead += part.length;
      return part.length;
    },
  };
  const hash = createHash('sha256');
  const sha256 = () => ({
    update: (block: Uint8Array) => void hash.update(block),
    hex: () => hash.digest('hex'),
  });
  return { source, hashed: hashedAlong(source, sha256) };
}

/** Against Node's own SHA-256 of all bytes at once. */
describe('a hash that is taken along', () => {
  it.each([
    ['in order', [0, 3000, 6000, 9000]],
    ['in order, each block over the end of the last', [0, 2500, 5000, 7500, 9000]],
    ['in no order', [6000, 0, 9000, 3000]],
    ['with a gap', [0, 6000, 9000]],
    ['twice', [0, 3000, 0, 3000, 6000, 9000, 6000]],
    ['not at all', []],
  ])('is that of the file, read %s', (_, offsets) => {
    const { hashed } = counted();
    for (const offset of offsets) hashed.read(offset, new Uint8Array(3000));
    expect(hashed.fingerprint('take')).toEqual({ file: 'take', sha256: expected, byteLength: bytes.length });
  });

  it('reads nothing again that was read in order, and the rest once', () => {
    const { source, hashed } = counted();
    for (const offset of [0, 3000, 6000]) hashed.read(offset, new Uint8Array(3000));
    hashed.fingerprint('take');
    expect(source.bytesRead).toBe(bytes.length);
  });

  it('ends where a file is shorter than it was', () => {
    const { source } = counted();
    const hash = createHash('sha256');
    const cut = {
      ...source,
      read: (offset: number, target: Uint8Array) => Math.min(source.read(offset, target), 8000 - offset),
    };
    const hashed = hashedAlong(cut, () => ({
      update: (block) => void hash.update(block),
      hex: () => hash.digest('hex'),
    }));
    expect(hashed.fingerprint('take').sha256).toBe(
      createHash('sha256').update(bytes.subarray(0, 8000)).digest('hex'),
    );
  });
});
