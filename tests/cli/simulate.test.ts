import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { simulateCommand } from '../../cli/simulate.ts';
import { SteptoneError } from '../../src/model/errors.ts';
import { parseSessionFile } from '../../src/model/session-file.ts';

const samples = join(import.meta.dirname, '..', '..', 'sample-audio');
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-simulate-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

async function errorOf(work: Promise<unknown>): Promise<SteptoneError> {
  const error = await work.then(
    () => null,
    (reason) => reason,
  );
  if (!(error instanceof SteptoneError)) throw new Error(`no SteptoneError but ${error}`);
  return error;
}

test('the sample recordings in the repository are what their scenario makes, byte for byte', async () => {
  const outFolder = join(folder, 'made');
  await simulateCommand({ scenarioFile: join(samples, 'rear-left.yaml'), outFolder, force: false });
  const names = readdirSync(outFolder).sort();
  expect(names).toEqual(readdirSync(join(samples, 'rear-left')).sort());
  for (const name of names) {
    const same = readFileSync(join(outFolder, name)).equals(readFileSync(join(samples, 'rear-left', name)));
    expect(same, name).toBe(true);
  }
});

test('the sample recordings stay below 20 MB, and their session file is valid', () => {
  const bytes = readdirSync(join(samples, 'rear-left')).map(
    (name) => statSync(join(samples, 'rear-left', name)).size,
  );
  expect(bytes.reduce((sum, size) => sum + size, 0)).toBeLessThan(20e6);
  const text = readFileSync(join(samples, 'rear-left', 'session.yaml'), 'utf8');
  const { input } = parseSessionFile({ fileName: 'session.yaml', text });
  expect(input.settings).toEqual([14, 18, 22, 34]);
});

test('nothing is overwritten without being asked, and nothing is written before that is known', async () => {
  writeFileSync(join(folder, 'truth.json'), 'mine');
  const args = { scenarioFile: join(samples, 'rear-left.yaml'), outFolder: folder };
  expect((await errorOf(simulateCommand({ ...args, force: false }))).code).toBe('would-overwrite');
  expect(readdirSync(folder)).toEqual(['truth.json']);
  expect(readFileSync(join(folder, 'truth.json'), 'utf8')).toBe('mine');
});

test('a missing or faulty scenario is one clear error', async () => {
  const missing = simulateCommand({
    scenarioFile: join(folder, 'none.yaml'),
    outFolder: folder,
    force: false,
  });
  expect((await errorOf(missing)).code).toBe('file-missing');
  const scenarioFile = join(folder, 'faulty.yaml');
  writeFileSync(scenarioFile, 'settings: 10-18/4\ntaps: []\n');
  const faulty = await errorOf(simulateCommand({ scenarioFile, outFolder: folder, force: false }));
  expect(faulty.code).toBe('scenario-field');
  expect(faulty.parts.where).toContain('line 2');
});
