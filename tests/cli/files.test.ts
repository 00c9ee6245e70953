import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { fileSource, refuseToOverwrite, writeNew } from '../../cli/files.ts';

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

describe('writeNew', () => {
  it('writes text and bytes, makes folders, and leaves nothing else behind', () => {
    writeNew(join(folder, 'a', 'b', 'text.html'), 'tap');
    writeNew(join(folder, 'a', 'b', 'bytes.wav'), Uint8Array.of(1, 2, 3));
    expect(readFileSync(join(folder, 'a', 'b', 'text.html'), 'utf8')).toBe('tap');
    expect([...readFileSync(join(folder, 'a', 'b', 'bytes.wav'))]).toEqual([1, 2, 3]);
    expect(readdirSync(join(folder, 'a', 'b')).sort()).toEqual(['bytes.wav', 'text.html']);
  });

  it('leaves an existing file alone unless told to replace it', () => {
    const path = join(folder, 'report.html');
    writeNew(path, 'old');
    expect(() => writeNew(path, 'new')).toThrow(expect.objectContaining({ code: 'would-overwrite' }));
    expect(readFileSync(path, 'utf8')).toBe('old');
    writeNew(path, 'new', { force: true });
    expect(readFileSync(path, 'utf8')).toBe('new');
  });

  it('says that it cannot write, and leaves no part of a file, where a folder or a file is in the way', () => {
    mkdirSync(join(folder, 'taken'));
    expect(() => writeNew(join(folder, 'taken'), 'x', { force: true })).toThrow(
      expect.objectContaining({ code: 'cannot-write' }),
    );
    writeFileSync(join(folder, 'file'), '');
    expect(() => writeNew(join(folder, 'file', 'below'), 'x')).toThrow(
      expect.objectContaining({ code: 'cannot-write' }),
    );
    expect(readdirSync(folder).sort()).toEqual(['file', 'taken']);
  });
});

describe('refuseToOverwrite', () => {
  it('counts the files that are in the way', () => {
    writeFileSync(join(folder, 'b'), '');
    writeFileSync(join(folder, 'c'), '');
    const paths = ['a', 'b', 'c'].map((name) => join(folder, name));
    expect(() => refuseToOverwrite(paths, {})).toThrow(/1 more/);
    expect(() => refuseToOverwrite(paths, { force: true })).not.toThrow();
  });
});
