import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { diskFile, diskFolder } from '../../cli/disk-folder.ts';
import { thrown } from '../thrown.ts';

let root: string;
let job: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'steptone-disk-folder-'));
  job = join(root, 'job');
  mkdirSync(job);
  writeFileSync(join(root, 'private.txt'), 'private');
  writeFileSync(join(job, 'own.txt'), 'own');
  symlinkSync(join(root, 'private.txt'), join(job, 'outward.txt'));
  symlinkSync('own.txt', join(job, 'inward.txt'));
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

const textOf = ({ open }: ReturnType<typeof diskFolder>, file: string) => {
  const source = open(file);
  const bytes = new Uint8Array(source.byteLength);
  source.read(0, bytes);
  return Buffer.from(bytes).toString();
};

describe('a folder of the disk', () => {
  it('follows links inside of it, and none that leads out', () => {
    const folder = diskFolder(job);
    expect(textOf(folder, 'inward.txt')).toBe('own');
    const { code, found } = thrown(() => folder.open('outward.txt')).parts;
    expect([code, found]).toEqual(['file-missing', 'a link to a place outside']);
  });

  it('follows the one link that a person named, wherever it leads, and still no other', () => {
    symlinkSync(join(root, 'private.txt'), join(job, 'another.txt'));
    const { folder, file } = diskFile(join(job, 'outward.txt'));
    expect(textOf(folder, file)).toBe('private');
    expect(thrown(() => folder.open('another.txt')).parts.found).toBe('a link to a place outside');
  });

  it('lists files, links and those of a folder within, in order, and none where there is no folder', () => {
    mkdirSync(join(job, 'photos'));
    writeFileSync(join(job, 'photos', 'b.jpg'), '');
    writeFileSync(join(job, 'photos', 'a.jpg'), '');
    const folder = diskFolder(job);
    expect(folder.names()).toEqual(['inward.txt', 'outward.txt', 'own.txt']);
    expect(folder.names('photos')).toEqual(['a.jpg', 'b.jpg']);
    expect(folder.names('none')).toEqual([]);
  });
});
