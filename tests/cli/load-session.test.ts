import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadSession } from '../../cli/load-session.ts';
import { sha256 } from '../../cli/sha256.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { openRecordings } from '../../src/commands/open-recordings.ts';
import { thrown } from '../thrown.ts';

let root: string;
beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), 'steptone-load-'));
});
afterAll(() => rmSync(root, { recursive: true, force: true }));

const SESSION = 'name: Ours\nsettings: 10\nchannels: [front-left, front-right]\n';
const EQUIPMENT = 'amplifiers: [{ feeds: [subwoofer], ratedWatts: 500 }]\n';

/** A folder with one recording and these texts. */
function folderWith(texts: Record<string, string>): string {
  const folder = mkdtempSync(join(root, 'case-'));
  const silence = new Float32Array(48);
  const wav = encodeWav({ channels: [silence, silence], sampleRateHz: 48_000, bitDepth: '16' });
  writeFileSync(join(folder, 'setting-10.wav'), wav);
  for (const [name, text] of Object.entries(texts)) {
    mkdirSync(join(folder, name, '..'), { recursive: true });
    writeFileSync(join(folder, name), text);
  }
  return folder;
}

describe('the session file of a folder', () => {
  it.each(['job 17.yaml', 'car.yml', 'notes.json'])('%s is found, whatever it is called', (name) => {
    const text = name.endsWith('json') ? '{"name":"Ours","settings":10}' : SESSION;
    const { session, documents } = loadSession({ target: folderWith({ [name]: text }) });
    expect(session.name).toBe('Ours');
    expect(documents.map((one) => one.name)).toEqual([name]);
  });

  it('comes before all others by its usual name', () => {
    const { documents } = loadSession({
      target: folderWith({ 'session.yaml': SESSION, 'older.yaml': SESSION }),
    });
    expect(documents.map((one) => one.name)).toEqual(['session.yaml']);
  });

  it('is not looked for in other kinds of files: equipment, results, packages, scenarios of simulated radios', () => {
    const { session, documents } = loadSession({
      target: folderWith({
        'parts.yaml': EQUIPMENT,
        'results.json': '{"format":"steptone results","version":1,"session":{}}',
        'package.json': '{"name":"x","version":"1"}',
        'scenario.yaml': 'seed: 1\nplayerRateHz: 48000\nsettings: 10\ntaps: []\n',
        'long.json': `{"settings": "${'1'.repeat(1 << 20)}"}`,
      }),
      settings: '10',
    });
    expect(session.name).toBe('Factory outputs');
    expect(documents).toEqual([]);
  });

  it('is asked for by name where several could be meant', () => {
    const error = thrown(() => loadSession({ target: folderWith({ 'a.yaml': SESSION, 'b.yaml': SESSION }) }));
    expect(error).toMatchObject({ code: 'usage', parts: { found: 'a.yaml and b.yaml' } });
  });

  it('is not passed over where it cannot be read', () => {
    const error = thrown(() => loadSession({ target: folderWith({ 'car.yaml': 'settings: [10\nname: x' }) }));
    expect(error).toMatchObject({ code: 'session-syntax' });
  });

  it('has the name that was probably meant, where there is none of the name given', () => {
    const target = folderWith({ 'car.yaml': SESSION });
    const error = thrown(() => loadSession({ target: join(target, 'cart.yaml') }));
    expect(error).toMatchObject({
      code: 'file-missing',
      parts: { nextStep: expect.stringContaining("car.yaml'") },
    });
  });
});

describe('equipment in a file of its own', () => {
  const watts = (loaded: ReturnType<typeof loadSession>) =>
    loaded.session.equipment?.amplifiers.map(({ ratedWatts }) => ratedWatts);

  it('is read from the path that the session gives, and is among the fingerprints', () => {
    const target = folderWith({
      'session.yaml': `${SESSION}equipmentFile: parts/loud.yaml\n`,
      'parts/loud.yaml': EQUIPMENT,
    });
    const loaded = loadSession({ target });
    expect(watts(loaded)).toEqual([500]);
    const recordings = openRecordings(loaded, { sha256 });
    const inputs = recordings.fingerprints(() => {}).map(({ file }) => file);
    recordings.close();
    expect(inputs).toEqual(['session.yaml', 'parts/loud.yaml', 'setting-10.wav']);
  });

  it('may be named on the command line, and then comes before that of the session', () => {
    const target = folderWith({
      'session.yaml': `${SESSION}equipment: { amplifiers: [{ feeds: [front], ratedWatts: 40 }] }\n`,
      'loud.yaml': EQUIPMENT,
    });
    expect(watts(loadSession({ target }))).toEqual([40]);
    expect(watts(loadSession({ target, equipmentFile: join(target, 'loud.yaml') }))).toEqual([500]);
  });

  it.each([
    ['amplifiers: [{ feeds: [subwofer], ratedWatts: 500 }]', 'session-field', /subwoofer/],
    ['amplifier: []', 'session-field', /amplifiers/],
    ['amplifiers: [', 'session-syntax', /equipment/],
  ])('%s is answered as in a session: %s', (text, code, says) => {
    const target = folderWith({
      'session.yaml': `${SESSION}equipmentFile: loud.yaml\n`,
      'loud.yaml': text,
    });
    const error = thrown(() => loadSession({ target }));
    expect(error).toMatchObject({ code });
    expect(error.message).toMatch(says);
    expect(error.message).toContain('loud.yaml');
  });

  it.each([
    ['equipmentFile: lod.yaml', 'file-missing'],
    ['equipmentFile: /etc/parts.yaml', 'session-field'],
    [`equipmentFile: loud.yaml\nequipment: {}`, 'session-field'],
  ])('%j is refused', (line, code) => {
    const target = folderWith({ 'session.yaml': `${SESSION}${line}\n`, 'loud.yaml': EQUIPMENT });
    const error = thrown(() => loadSession({ target }));
    expect(error).toMatchObject({ code });
    if (code === 'file-missing') expect(error.parts.nextStep).toContain("loud.yaml'");
  });
});

it('Channels that would change nothing are refused.', () => {
  const recordings = 'recordings: [{ file: setting-10.wav, channels: [front-left, null] }]';
  const target = folderWith({ 'session.yaml': `settings: 10\n${recordings}\n` });
  const error = thrown(() => loadSession({ target, channels: 'rear-left' }));
  expect(error).toMatchObject({ code: 'usage', parts: { where: '--channels' } });
});

it('A single WAV is taken alone, whatever lies beside it.', () => {
  const target = join(folderWith({ 'noise-idle.wav': '', 'session.yaml': SESSION }), 'setting-10.wav');
  const { session } = loadSession({ target, settings: '10' });
  expect(session.recordings.map(({ file }) => file)).toEqual(['setting-10.wav']);
});
