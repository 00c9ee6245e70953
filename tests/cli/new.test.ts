import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Person } from '../../cli/ask.ts';
import { type NewArguments, newCommand } from '../../cli/new.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { parseSessionFile } from '../../src/model/session-file.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-new-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const FOUR = 'front-left, front-right, rear-left, rear-right';
let job = 0;
const place = () => join(folder, `job-${job++}`);

function personWho(ask: Person['ask']): Person {
  return { ask, tell: () => {} };
}

/** The session of a job, resolved beside the files that a person then records. */
async function sessionOf(
  given: Omit<NewArguments, 'folder'>,
  folderFiles: readonly string[],
  answers?: string[],
) {
  const target = place();
  const queue = [...(answers ?? [])];
  const person = answers === undefined ? null : personWho(async () => queue.shift() ?? '');
  await newCommand({ folder: target, ...given }, person);
  expect(readdirSync(target).sort()).toEqual([
    'session.yaml',
    'steptone-bench-sheet.html',
    'steptone-estimate-sheet.html',
  ]);
  const text = readFileSync(join(target, 'session.yaml'), 'utf8');
  const { input, locate } = parseSessionFile({ fileName: 'session.yaml', text });
  return { session: resolveSession(input, { folderFiles, locate }), left: queue, target };
}

describe('steptone new', () => {
  it('Two taps on a stereo recorder: one file a setting, in volts.', async () => {
    const { session, target } = await sessionOf(
      { settings: '10-18/4', taps: 'front-left,front-right', calibration: '11,1.4' },
      ['setting-10.wav', 'setting-14.wav', 'setting-18.wav'],
    );
    expect(session.recordings.map(({ settings }) => settings)).toEqual([[10], [14], [18]]);
    expect(session.calibration).toMatchObject({ kind: 'pad', padRatio: 11, fullScaleVoltsRms: 1.4 });
    expect(readFileSync(join(target, 'steptone-bench-sheet.html'), 'utf8')).toContain('>14<');
    // Nothing is recorded yet: every outcome has a box to tick.
    const estimate = readFileSync(join(target, 'steptone-estimate-sheet.html'), 'utf8');
    expect(estimate).toContain('Bass cut as the volume rises');
    expect(estimate).not.toContain('not found');
  });

  it('Four taps on a stereo recorder: pairs and a linking take; what is not recorded yet is a note.', async () => {
    const { session } = await sessionOf({ settings: '10-18/4', taps: FOUR }, [
      'pair-a-10.wav',
      'pair-a-14.wav',
      'pair-b-14.wav',
    ]);
    const channels = Object.fromEntries(session.recordings.map((one) => [one.file, one.channels]));
    expect(channels['pair-a-10.wav']).toEqual(['front-left', 'front-right']);
    expect(channels['pair-b-14.wav']).toEqual(['rear-left', 'rear-right']);
    expect(session.notes).toContainEqual({ code: 'no file of this name', pattern: 'link-b-*.wav' });
  });

  it('Asks five questions, a question again where the answer cannot be read, and takes Enter for the usual one.', async () => {
    const answers = ['A car & radio', '', '', '10-19/4', '10-18/4', FOUR, 'loud', 'line', '4'];
    const { session, left } = await sessionOf(
      {},
      ['setting-10.wav', 'setting-14.wav', 'setting-18.wav'],
      answers,
    );
    expect(left).toEqual([]);
    expect(session.name).toBe('A car & radio');
    expect(session.settings).toEqual([10, 14, 18]);
    expect(session.recordings[0].channels).toHaveLength(4);
    expect(session.calibration).toEqual({ kind: 'none' });
    expect(session.taps.map(({ level }) => level)).toEqual(['line', 'line', 'line', 'line']);
  });

  it('Takes channels and pad of the recorder in one answer, and speaker level for Enter.', async () => {
    const answers = ['', '10-18/4', 'front-left, front-right', '', '2, 11, 1.4'];
    const { session } = await sessionOf({}, ['setting-10.wav'], answers);
    expect(session.calibration).toMatchObject({ padRatio: 11, fullScaleVoltsRms: 1.4 });
    expect(session.taps[0].level).toBe('speaker');
  });

  it.each([
    ['11, 1.4', 11, 1.4],
    ['11,1.4', 11, 1.4],
    ['11.3 1.4', 11.3, 1.4],
    ['11,3 1,4', 11.3, 1.4],
    ['11,3; 1,4', 11.3, 1.4],
  ])('The pad may be written %s.', async (calibration, padRatio, fullScaleVoltsRms) => {
    const { session } = await sessionOf({ settings: '10', taps: 'a', calibration }, ['10.wav']);
    expect(session.calibration).toMatchObject({ padRatio, fullScaleVoltsRms });
  });

  it('Says of a name that it does not tell side or place, and how to say it.', async () => {
    const taps = 'front-left,output 5,subwoofer';
    const { text } = await newCommand({ folder: place(), settings: '10', taps }, null);
    expect(text).toContain('{ id: output 5, position: front, side: left }');
    expect(text).not.toMatch(/The name (front-left|subwoofer)/);
  });

  it('What its comments say to add is right.', async () => {
    const { target } = await sessionOf({ settings: '10', taps: 'a' }, ['10.wav']);
    const [, comments] = readFileSync(join(target, 'session.yaml'), 'utf8').split('# Add what you know');
    const [, ...lines] = comments.split('\n');
    const text = lines.map((line) => line.replace(/^# /, '')).join('\n');
    const { input } = parseSessionFile({ fileName: 'session.yaml', text });
    expect(input).toMatchObject({ equipmentFile: 'equipment.yaml', taps: [{ plus: { pin: 3 } }] });
  });

  it('Where nobody can be asked, the flag that is missing is named, and nothing is written.', async () => {
    const target = place();
    const asked = newCommand({ folder: target, settings: '10-18/4' }, null);
    await expect(asked).rejects.toMatchObject({
      code: 'usage',
      parts: { nextStep: expect.stringContaining('--taps') },
    });
    expect(existsSync(target)).toBe(false);
  });

  it.each([
    [{ settings: '10-19/4', taps: 'a' }, 'settings'],
    [{ settings: '10', taps: 'a,a' }, 'session-field'],
    [{ settings: '10', taps: 'a', channels: 'two' }, 'session-field'],
    [{ settings: '10', taps: 'a', calibration: '11' }, 'calibration'],
    [{ settings: '10', taps: 'a', calibration: '11,1,4' }, 'calibration'],
  ])('%j is refused', async (given, code) => {
    await expect(newCommand({ folder: place(), ...given }, null)).rejects.toMatchObject({ code });
  });

  it('Overwrites nothing, and says so before it asks.', async () => {
    const { target } = await sessionOf({ settings: '10', taps: 'a' }, ['10.wav']);
    writeFileSync(join(target, 'session.yaml'), 'mine');
    const person = personWho(() => Promise.reject(new Error('asked')));
    await expect(newCommand({ folder: target }, person)).rejects.toMatchObject({ code: 'would-overwrite' });
    expect(readFileSync(join(target, 'session.yaml'), 'utf8')).toBe('mine');
  });
});
