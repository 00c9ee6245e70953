import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { resultsSchema } from '../../src/model/results.ts';
import { type Ended, steptone } from './steptone.ts';
import { steptoneHere } from './steptone-here.ts';

/** Three settings of a radio that takes 9 dB of bass away at the loudest; the short track, so that the test is. */
const SCENARIO = `
name: Try of the command line
track: response only
settings: [10, 24, 38]
everyTap: { volume: { atSetting: 38, voltsRms: 5, dbPerStep: 1 } }
taps:
  - { id: front-left, side: left, volumeDependent: [{ kind: low shelf, frequencyHz: 80, gainDb: { "24": 0, "38": -9 } }] }
  - { id: front-right, side: right }
`;
const OUTPUTS = [
  'comeback-sheet.html',
  'dial-in-sheet.html',
  'estimate-sheet.html',
  'hand-over-sheet.html',
  'order-sheet.html',
  'report.html',
  'results.json',
];

let folder: string;
let recordings: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-analyse-'));
  recordings = join(folder, 'recordings');
  writeFileSync(join(folder, 'scenario.yaml'), SCENARIO);
  expectFine(await steptoneHere(['simulate', join(folder, 'scenario.yaml'), '--out', recordings]));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('steptone analyse', () => {
  it('A folder with a session gives a report and results, and says where they are.', async () => {
    const ended = await steptone(['analyse', recordings]);
    expectFine(ended);
    const out = join(recordings, 'steptone-out');
    expect(ended.stdout).toContain(join(out, 'report.html'));
    expect(readdirSync(out).sort()).toEqual(OUTPUTS);
    const results = resultsSchema.parse(JSON.parse(readFileSync(join(out, 'results.json'), 'utf8')));
    expect(results.session.settings).toEqual([10, 24, 38]);
    expect(results.inputs.map(({ file }) => file)).toEqual([
      'session.yaml',
      'setting-10.wav',
      'setting-24.wav',
      'setting-38.wav',
    ]);
  });

  it('The same recordings in another place give the same bytes, replaced only with --force.', async () => {
    const copy = join(folder, 'elsewhere');
    cpSync(recordings, copy, { recursive: true });
    const out = join(copy, 'steptone-out');
    const refused = await steptoneHere(['analyse', copy]);
    expect(refused.status).toBe(2);
    writeFileSync(join(out, 'report.html'), 'old');
    expectFine(await steptone(['analyse', copy, '--force']));
    for (const name of OUTPUTS) {
      expect(
        readFileSync(join(out, name)).equals(readFileSync(join(recordings, 'steptone-out', name))),
        name,
      ).toBe(true);
    }
  });

  it('Without a session file --settings is enough; one bad recording is left out and named, the rest is analysed.', async () => {
    const bare = mkdtempSync(join(folder, 'bare-'));
    for (const setting of [10, 38])
      cpSync(join(recordings, `setting-${setting}.wav`), join(bare, `vol${setting}.wav`));
    writeFileSync(join(bare, 'vol24.wav'), 'no sound');
    const out = join(folder, 'out');
    const ended = await steptoneHere(['analyse', bare, '--settings', '10-38/14', '--out', out, '--json']);
    expectFine(ended);
    const { report, notes } = JSON.parse(ended.stdout);
    expect(existsSync(report)).toBe(true);
    expect(notes.filter(({ file }: { file: string }) => file === 'vol24.wav')).toHaveLength(1);
    const results = JSON.parse(readFileSync(join(out, 'results.json'), 'utf8'));
    const measured = results.measurements.map(({ tapId, setting }: { tapId: string; setting: number }) => [
      setting,
      tapId,
    ]);
    expect(measured).toEqual([
      [10, 'channel 1'],
      [10, 'channel 2'],
      [38, 'channel 1'],
      [38, 'channel 2'],
    ]);
    expect(readdirSync(bare).sort()).toEqual(['vol10.wav', 'vol24.wav', 'vol38.wav']);
  });
});

/** Nothing on standard error either: it is no terminal here, so there is no progress. */
function expectFine({ status, stderr }: Ended): void {
  expect(stderr).toBe('');
  expect(status).toBe(0);
}
