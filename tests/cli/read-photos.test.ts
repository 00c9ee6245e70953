import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { loadSession } from '../../cli/load-session.ts';
import { readPhotos } from '../../src/commands/read-photos.ts';

/** One black pixel. */
const PNG = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg==',
  'base64',
);

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-photos-'));
  writeFileSync(join(folder, 'pixel.jpg'), PNG);
  writeFileSync(join(folder, 'drawing.svg'), '<svg onload="alert(1)"/>');
  writeFileSync(join(folder, 'large.png'), PNG);
  truncateSync(join(folder, 'large.png'), 5_000_000);
  const photos = 'photos: [pixel.jpg, drawing.svg, large.png, none.jpg]';
  writeFileSync(join(folder, 'session.yaml'), `recordings: [{ file: a.wav, setting: 10 }]\n${photos}\n`);
  writeFileSync(join(folder, 'a.wav'), '');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it('reads what is an image by its bytes, and says of the others why they are only named', () => {
  const { images, remarks } = readPhotos(loadSession({ target: folder }));
  expect([...images]).toEqual([['pixel.jpg', `data:image/png;base64,${PNG.toString('base64')}`]]);
  expect(remarks).toHaveLength(3);
  expect(remarks[0]).toMatch(/^drawing.svg: no JPEG or PNG/);
  expect(remarks[1]).toMatch(/^large.png: over 4 MB/);
  expect(remarks[2]).toMatch(/^none.jpg: nothing there/);
});
