import { execFileSync } from 'node:child_process';
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { steptone } from './steptone.ts';
import { steptoneHere } from './steptone-here.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-bad-input-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const SESSION = 'settings: [10, 24]\nchannels: [front-left, front-right]\n';

/** A folder with the files named; recordings are two seconds of a steady tone, so hold no track, unless given. */
function folderWith(files: Record<string, string | Uint8Array>): string {
  const path = mkdtempSync(join(folder, 'case-'));
  for (const [name, content] of Object.entries(files)) writeFileSync(join(path, name), content);
  return path;
}

function tone({
  sampleRateHz = 48_000,
  seconds = 2,
}: {
  sampleRateHz?: number;
  seconds?: number;
} = {}): Uint8Array {
  const samples = Float32Array.from({ length: seconds * sampleRateHz }, (_, i) => 0.25 * Math.sin(0.1 * i));
  return encodeWav({ channels: [samples, samples], sampleRateHz, bitDepth: '24' });
}

/** One line, exit status 2, no stack trace, and the folder is as it was. */
async function expectRefused({
  path,
  args = [],
  says,
}: {
  path: string;
  args?: readonly string[];
  says: string | RegExp;
}): Promise<void> {
  const before = snapshot(path);
  const { status, stdout, stderr } = await steptoneHere(['analyse', path, ...args]);
  expect(stderr).toMatch(says);
  expect(stderr.trimEnd().split('\n')).toHaveLength(1);
  expect(stderr).not.toMatch(/^\s+at /m);
  expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
  expect(snapshot(path)).toEqual(before);
}

function snapshot(path: string): Record<string, string> {
  const names = readdirSync(path, { recursive: true, withFileTypes: true });
  return Object.fromEntries(
    names.map((entry) => {
      const file = join(entry.parentPath, entry.name);
      return [file, entry.isFile() ? readFileSync(file).toString('base64') : 'folder'];
    }),
  );
}

describe.concurrent('bad input', () => {
  it.each([
    ['nothing there', {}, ['--settings', '10'], 'WAV'],
    ['no settings', { 'a.wav': tone() }, [], '--settings'],
    ['a range that is none', { 'a.wav': tone() }, ['--settings', 'ten'], /--settings.*'ten'/],
    ['a range that misses its end', { 'a.wav': tone() }, ['--settings', '10-39/4'], '38'],
    [
      'another count of files than of settings',
      { 'a.wav': tone(), 'b.wav': tone() },
      ['--settings', '10-38/4'],
      '8 settings',
    ],
    [
      'a recording that is not there',
      { 'session.yaml': `${SESSION}recordings: [{ file: gone.wav, setting: 10 }]` },
      [],
      'gone.wav',
    ],
    [
      'a pattern that fits nothing',
      { 'session.yaml': `${SESSION}recordings: ["rear-*.wav"]` },
      [],
      /line 3.*rear-\*\.wav/,
    ],
    [
      'an unknown tap',
      { 'session.yaml': `${SESSION}referenceTapId: front-lft\n`, 'vol10.wav': tone(), 'vol24.wav': tone() },
      [],
      /line 3.*'front-left'/,
    ],
    [
      'an empty list',
      { 'session.yaml': 'settings: []\n', 'a.wav': tone() },
      [],
      /session\.yaml line 1.*empty list/,
    ],
    [
      'negative volts',
      { 'session.yaml': `${SESSION}supply: { volts: -12 }\n`, 'a.wav': tone() },
      [],
      /line 3, column 11, supply\.volts.*-12/,
    ],
    ['a field that is none', { 'session.yaml': 'setings: 10\n', 'a.wav': tone() }, [], /line 1.*'settings'/],
    ['a session that is no YAML', { 'session.yaml': 'settings: [10\n', 'a.wav': tone() }, [], /line \d/],
    ['two session files', { 'session.yaml': SESSION, 'session.json': '{}' }, [], 'session.json'],
    [
      'a report folder that cannot be told from a file',
      { 'a.wav': tone(), 'steptone-out': 'x' },
      ['--settings', '10'],
      'a file of that name',
    ],
    ['a file that is not a WAV', { 'a.wav': 'this is no sound' }, ['--settings', '10'], /a\.wav/],
    ['an empty WAV', { 'a.wav': new Uint8Array() }, ['--settings', '10'], /a\.wav/],
    ['a rate that is too low', { 'a.wav': tone({ sampleRateHz: 16_000 }) }, ['--settings', '10'], /16 kHz/],
    ['a WAV without the track', { 'a.wav': tone() }, ['--settings', '10'], /a\.wav/],
    [
      'several recordings without the track',
      { 'vol10.wav': tone(), 'vol24.wav': tone() },
      ['--settings', '10,24'],
      /vol10\.wav/,
    ],
    [
      'more channels named than recorded',
      { 'a.wav': tone() },
      ['--settings', '10', '--channels', 'a,b,c'],
      /3 channels/,
    ],
  ])('%s: one clear line, exit status 2, nothing written', async (_, files, args, says) => {
    await expectRefused({
      path: folderWith(files),
      args,
      says: typeof says === 'string' ? new RegExp(says) : says,
    });
  });

  it('A folder that is not there is named.', async () => {
    const { status, stderr } = await steptoneHere([
      'analyse',
      join(folder, 'no-such-folder'),
      '--settings',
      '10',
    ]);
    expect(status).toBe(2);
    expect(stderr).toContain('no-such-folder');
  });

  it('A report that is there already is not replaced without being asked.', async () => {
    const path = folderWith({ 'a.wav': tone() });
    mkdirSync(join(path, 'steptone-out'));
    writeFileSync(join(path, 'steptone-out', 'report.html'), 'the old report');
    await expectRefused({ path, args: ['--settings', '10'], says: /report\.html.*--force/ });
  });

  it('A file name with control characters cannot write over the terminal.', async () => {
    const path = folderWith({ 'a\u001b[2J\n.wav': 'no sound' });
    const { stderr } = await steptoneHere(['analyse', path, '--settings', '10']);
    expect(stderr).not.toContain('\u001b');
    expect(stderr.trimEnd()).not.toContain('\n');
  });

  it.each<[string, (path: string) => string[], string | RegExp]>([
    ['a session that is a pipe', (path) => piped(join(path, 'session.yaml')), /session\.yaml.*not a file/],
    ['a recording that is a pipe', (path) => piped(join(path, 'a.wav')), /a\.wav.*not a file/],
    [
      'a recordings folder behind a looped link',
      (path) => looped(join(path, 'more')),
      'leads back to itself',
    ],
    ['a session behind a looped link', (path) => looped(join(path, 'session.yaml')), 'leads back to itself'],
    ['equipment that is a device', () => ['--equipment', '/dev/zero'], /zero.*not a file/],
    [
      'a report folder through a file',
      (path) => ['--out', join(path, 'vol10.wav', 'out')],
      'vol10.wav in the path',
    ],
  ])('%s: one clear line, exit status 2, at once', async (_, make, says) => {
    const path = folderWith({ 'vol10.wav': tone() });
    const more = make(path);
    const target = more[0]?.startsWith(path) ? more : [path, '--settings', '10', ...more];
    // A process of its own: one that waits for a pipe waits for ever.
    const { status, stderr } = await steptone(['analyse', ...target]);
    expect(stderr).toMatch(says instanceof RegExp ? says : new RegExp(says));
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
    expect(status).toBe(2);
  });

  it.each([
    ['200,000 settings', `settings: [${Array.from({ length: 200_000 }, (_, i) => i).join(',')}]`, /bytes/],
    ['40,000 settings', `settings: [${Array.from({ length: 40_000 }, (_, i) => i).join(',')}]`, /250/],
    ['40,000 settings as text', `settings: "${'1-2,'.repeat(40_000)}"`, /250 settings/],
    ['60,000 brackets', `settings: ${'['.repeat(60_000)}`, /more than a hundred deep/],
    ['60,000 lists in a line', '- '.repeat(60_000), /more than a hundred deep/],
    ['20,000 fields', Array.from({ length: 20_000 }, (_, i) => `k${i}: 1`).join('\n'), /k0/],
    [
      '20,000 recordings',
      `recordings: [${Array.from({ length: 20_000 }, (_, i) => `a${i}.wav`).join(',')}]`,
      /2048/,
    ],
  ])('%s: one clear line, exit status 2', async (_, text, says) => {
    await expectRefused({ path: folderWith({ 'session.yaml': `${text}\n`, 'a.wav': tone() }), says });
  });

  it('A scenario that begins after thirty years is refused before any memory is taken.', async () => {
    const path = folderWith({
      'a.yaml':
        'settings: [10]\ntaps: [{ id: a, side: left, volume: { atSetting: 10, voltsRms: 1, dbPerStep: 1 } }]\nrecorder: { startSeconds: [1e9, 1e9] }\n',
    });
    const { status, stderr } = await steptoneHere([
      'simulate',
      join(path, 'a.yaml'),
      '--out',
      join(path, 'out'),
    ]);
    expect(stderr).toMatch(/startSeconds.*at most 600/);
    expect(status).toBe(2);
  });

  it('Links are followed only inside the folder of the job.', async () => {
    const outside = folderWith({ 'a.wav': tone(), 'session.yaml': SESSION });
    const path = folderWith({ 'session.yaml': 'settings: 10\nrecordings: [a.wav]\n' });
    symlinkSync(join(outside, 'a.wav'), join(path, 'a.wav'));
    const linked = folderWith({ 'a.wav': tone() });
    symlinkSync(join(outside, 'session.yaml'), join(linked, 'session.yaml'));
    for (const folder of [path, linked]) {
      const { status, stderr } = await steptoneHere(['check', folder]);
      expect(stderr).toMatch(/a link to a place outside/);
      expect(status).toBe(2);
    }
    // Inside the folder, and as the name that is given to the command, a link is as good as the file.
    const inside = folderWith({ 'session.yaml': 'settings: 10\nrecordings: [a.wav]\n', 'b.wav': tone() });
    symlinkSync('b.wav', join(inside, 'a.wav'));
    symlinkSync(inside, join(path, 'job'));
    expect((await steptoneHere(['check', join(path, 'job')])).stderr).not.toMatch(/a link/);
  });
});

function piped(path: string): string[] {
  execFileSync('mkfifo', [path]);
  return path.endsWith('.wav') ? [path, '--settings', '10'] : [dirname(path)];
}

function looped(path: string): string[] {
  symlinkSync(path, path);
  return [path.endsWith('.yaml') ? dirname(path) : path];
}

it('A link to itself is refused without being proposed in its own place.', async () => {
  const path = folderWith({});
  symlinkSync('loop', join(path, 'loop'));
  const { status, stderr } = await steptoneHere(['analyse', join(path, 'loop')]);
  expect(status).toBe(2);
  expect(stderr).toContain('a link that leads back to itself');
  expect(stderr).not.toContain('if you meant that');
});
