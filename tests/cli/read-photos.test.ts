import { mkdtempSync, rmSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { loadSession } from '../../cli/load-session.ts';
import { readPhotos } from '../../src/commands/read-photos.ts';
import { asWritten } from '../../src/model/reason.ts';

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
  expect(remarks[0]).toEqual({ file: 'drawing.svg', reason: { code: 'no photo' } });
  expect(remarks[1]).toEqual({ file: 'large.png', reason: { code: 'photo too large', mostMegabytes: 4 } });
  expect(remarks[2]).toMatchObject({ file: 'none.jpg', reason: { code: 'as written' } });
});

it('does not follow a link out of the folder of the job', () => {
  const job = mkdtempSync(join(tmpdir(), 'steptone-linked-'));
  writeFileSync(
    join(job, 'session.yaml'),
    'recordings: [{ file: a.wav, setting: 10 }]\nphotos: [private.jpg, own.jpg]\n',
  );
  writeFileSync(join(job, 'a.wav'), '');
  writeFileSync(join(job, 'pixel.jpg'), PNG);
  symlinkSync(join(folder, 'pixel.jpg'), join(job, 'private.jpg'));
  symlinkSync('pixel.jpg', join(job, 'own.jpg'));
  const { images, remarks } = readPhotos(loadSession({ target: job }));
  expect([...images.keys()]).toEqual(['own.jpg']);
  expect(remarks).toEqual([
    { file: 'private.jpg', reason: asWritten(expect.stringMatching(/^a link to a place outside/)) },
  ]);
  rmSync(job, { recursive: true });
});
