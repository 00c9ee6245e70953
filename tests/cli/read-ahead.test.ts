import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { analyseCommand } from '../../cli/analyse.ts';
import { simulateCommand } from '../../cli/simulate.ts';
import { steptone } from './steptone.ts';

const SCENARIO = {
  name: 'Four settings, one of them silent',
  seed: 3,
  settings: '10-22/4',
  track: 'response only',
  taps: [
    { id: 'rear-left', side: 'left', position: 'rear' },
    { id: 'rear-right', side: 'right', position: 'rear', inverted: true },
  ],
  everyTap: { volume: { atSetting: 22, voltsRms: 5, dbPerStep: 1 } },
  recorder: { sampleRateHz: 48_000, bits: '16' },
};

/** Compiled code reads four recordings in two threads; sources that vitest runs read them in one. */
describe.skipIf(availableParallelism() < 2)('reading recordings in threads', () => {
  const folder = mkdtempSync(join(tmpdir(), 'steptone-'));
  const recordings = join(folder, 'recordings');

  beforeAll(async () => {
    const scenarioFile = join(folder, 'scenario.json');
    writeFileSync(scenarioFile, JSON.stringify(SCENARIO));
    await simulateCommand({ scenarioFile, outFolder: recordings, force: true });
    // One of them holds no track, so that an error has to cross between threads too.
    const spoilt = join(recordings, 'setting-14.wav');
    const bytes = readFileSync(spoilt);
    writeFileSync(spoilt, bytes.fill(0, 44));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test('gives the same results, byte for byte, as reading them one after another', async () => {
    const [threads, alone] = [join(folder, 'threads'), join(folder, 'alone')];
    const ended = await steptone(['analyse', recordings, '--out', threads]);
    expect(ended.status).toBe(0);
    await analyseCommand({ target: recordings, out: alone, force: false }, () => {});
    const results = readFileSync(join(threads, 'results.json'), 'utf8');
    expect(results).toBe(readFileSync(join(alone, 'results.json'), 'utf8'));
    expect(JSON.parse(results).notes[0].reason).toMatchObject({ code: expect.any(String) });
  });
});
