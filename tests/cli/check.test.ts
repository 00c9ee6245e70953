import { cpSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkSchema } from '../../src/model/check.ts';
import { steptone } from './steptone.ts';
import { steptoneHere } from './steptone-here.ts';

const SCENARIO = `
name: Try of the check
track: response only
settings: [10, 24, 38]
everyTap: { volume: { atSetting: 38, voltsRms: 5, dbPerStep: 1 } }
taps:
  - { id: front-left, side: left }
  - { id: front-right, side: right }
`;

let folder: string;
let recordings: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-check-'));
  recordings = join(folder, 'recordings');
  writeFileSync(join(folder, 'scenario.yaml'), SCENARIO);
  expect((await steptoneHere(['simulate', join(folder, 'scenario.yaml'), '--out', recordings])).status).toBe(
    0,
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('steptone check', () => {
  it('Good recordings: a line a take, yes, status 0, and nothing is written.', async () => {
    const before = readdirSync(recordings);
    const { status, stdout, stderr } = await steptone(['check', recordings]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    const lines = stdout.trimEnd().split('\n');
    expect(lines.filter((line) => line.startsWith('Setting '))).toHaveLength(3);
    expect(lines.at(-1)).toBe('You may close the dash: yes.');
    expect(lines).toContain('  front-left, front-right: full range; bass steady; clipping not recorded');
    expect(readdirSync(recordings)).toEqual(before);
  });

  it('A take missing: no, status 3, and what is missing; the same as data with --json.', async () => {
    const lacking = join(folder, 'lacking');
    cpSync(recordings, lacking, { recursive: true });
    writeFileSync(join(lacking, 'setting-24.wav'), 'no sound');
    const [told, data] = await Promise.all([
      steptoneHere(['check', lacking]),
      steptoneHere(['check', lacking, '--json']),
    ]);
    expect([told.status, data.status]).toEqual([3, 3]);
    expect(told.stdout).toMatch(
      /You may close the dash: no, front-left, front-right at 24: setting-24.wav could not be read/,
    );
    const check = checkSchema.parse(JSON.parse(data.stdout));
    expect(check.mayCloseDash).toBe(false);
    expect(check.soFar.map(({ tapIds }) => tapIds)).toEqual([['front-left', 'front-right']]);
    expect(check.missing.map(({ settings }) => settings)).toEqual([[24], [24]]);
  });

  it('Nothing usable: status 2 and one line.', async () => {
    const bad = mkdtempSync(join(folder, 'bad-'));
    writeFileSync(join(bad, 'a.wav'), 'no sound');
    const { status, stderr, stdout } = await steptoneHere(['check', bad, '--settings', '10']);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
  });
});
