import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { fileSource } from '../../cli/files.ts';
import { thrown } from '../thrown.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-files-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('fileSource', () => {
  it('reads any part of a file and says how much there was', () => {
    const path = join(folder, 'ten');
    writeFileSync(
      path,
      Uint8Array.from({ length: 10 }, (_, i) => i),
    );
    const source = fileSource(path);
    const target = new Uint8Array(4);
    expect(source.byteLength).toBe(10);
    expect(source.read(3, target)).toBe(4);
    expect([...target]).toEqual([3, 4, 5, 6]);
    expect(source.read(8, target)).toBe(2);
    expect(source.read(10, target)).toBe(0);
    source.close();
  });

  it('answers file-missing where reading fails later on', () => {
    const path = join(folder, 'pulled-out');
    writeFileSync(path, 'abc');
    const source = fileSource(path);
    source.close();
    expect(() => source.read(0, new Uint8Array(3))).toThrow(
      expect.objectContaining({ code: 'file-missing' }),
    );
  });

  it('answers file-missing for nothing there and for a folder', () => {
    expect(() => fileSource(join(folder, 'absent.wav'))).toThrow(
      expect.objectContaining({ code: 'file-missing' }),
    );
    expect(() => fileSource(folder)).toThrow(expect.objectContaining({ code: 'file-missing' }));
  });
});

it('refuses at once what can keep a reader waiting for ever, and says why a name leads nowhere', () => {
  const pipe = join(folder, 'pipe.wav');
  execFileSync('mkfifo', [pipe]);
  symlinkSync('loop.wav', join(folder, 'loop.wav'));
  writeFileSync(join(folder, 'file'), '');
  const found = (path: string) => thrown(() => fileSource(path)).parts.found;
  expect(found(pipe)).toBe('something that is not a file');
  expect(found('/dev/zero')).toBe('something that is not a file');
  expect(found(join(folder, 'loop.wav'))).toMatch(/^a link that leads back to itself/);
  expect(found(join(folder, 'file', 'a.wav'))).toMatch(/^a path that leads through a file/);
  expect(found(join(folder, 'a\0.wav'))).toMatch(/null character/);
  expect(found(join(folder, 'a'.repeat(300)))).toMatch(/^a name that is too long/);
});
