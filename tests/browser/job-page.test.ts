import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { stickWav } from '../../src/commands/stick-wav.ts';
import { REPORT_FILE, SHEET_FILES } from '../../src/report/page-files.ts';
import { stickFiles } from '../../src/tones/stick-files.ts';
import { steptone } from '../cli/steptone.ts';
import { describeWith } from '../outside-programs.ts';
import {
  brokenRules,
  catchSaved,
  caughtBytes,
  caughtDigests,
  type JobPage,
  keptTexts,
  PAGE_ADDRESS,
  press,
  type Started,
  show,
  startChromium,
  startFirefox,
  waitFor,
} from './job-page.ts';

const SAMPLE = resolve(import.meta.dirname, '../../sample-audio/rear-left');
const sampleFiles = readdirSync(SAMPLE)
  .filter((name) => /\.(wav|yaml)$/.test(name))
  .map((name) => join(SAMPLE, name));
const PAGES = [REPORT_FILE, ...SHEET_FILES];
const STEPS = ['car', 'stick', 'screen', 'record', 'check', 'report', 'dial-in', 'prove'];
const MOST_BYTES = 8_000_000;

/** Two engines may differ in the last digits of a logarithm or a sine; of small differences, by as much as of what differs. */
const SAME = 1e-9;

const folder = mkdtempSync(join(tmpdir(), 'steptone-job-'));
let written: Promise<Record<string, string>>;
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** What the command writes of the same files. */
function byCommand(): Promise<Record<string, string>> {
  written ??= (async () => {
    const { status, stderr } = await steptone(['analyse', SAMPLE, '--out', folder]);
    if (status !== 0) throw new Error(stderr);
    return Object.fromEntries(
      [...PAGES, 'results.json'].map((name) => [name, readFileSync(join(folder, name), 'utf8')]),
    );
  })();
  return written;
}

it(`The page is one file below ${MOST_BYTES} bytes.`, () => {
  expect(statSync(fileURLToPath(PAGE_ADDRESS)).size).toBeLessThan(MOST_BYTES);
});

for (const [name, start] of [
  ['chromium', startChromium],
  ['firefox', startFirefox],
] as const) {
  describeWith([name], 'the job page', () => {
    let started: Started;
    let page: JobPage;
    beforeAll(async () => {
      started = await start();
      page = await started.open();
    });
    afterAll(() => started?.stop());

    it('checks dropped recordings, and writes the report and sheets of the command, byte for byte.', async () => {
      await page.giveFiles(sampleFiles);
      await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 4 recordings')`);
      await show(page, 'check');
      await press(page, 'Check 4 recordings');
      const checked = await waitFor<string>(page, `document.querySelector('.lines')?.innerText`);
      const { stdout } = await steptone(['check', SAMPLE]);
      expect(words(checked)).toBe(words(stdout));

      await show(page, 'report');
      await press(page, 'Analyse');
      await waitFor(page, `document.querySelectorAll('ul.files a').length === ${1 + SHEET_FILES.length}`);
      const [command, kept] = [await byCommand(), await keptTexts(page, 'steptone-out/')];
      expect(Object.keys(kept).sort()).toEqual(Object.keys(command).sort());
      for (const file of PAGES) expect(kept[file] === command[file], file).toBe(true);
      // The last digits of engines differ, and with them the sum over the whole content.
      const [{ checksum, ...ours }, { checksum: theirs, ...its }] = [kept, command].map((files) =>
        JSON.parse(files['results.json']),
      );
      expect([checksum, theirs]).toEqual([expect.stringMatching(SHA_256), expect.stringMatching(SHA_256)]);
      expect(differences(ours, its)).toEqual([]);
    });

    it('keeps the job over closing and opening.', async () => {
      await page.reload();
      expect(await page.evaluate('document.querySelector("h1").innerText')).toContain('rear left');
      await show(page, 'report');
      await waitFor(page, `document.querySelectorAll('ul.files a').length === ${1 + SHEET_FILES.length}`);
      expect(await page.evaluate('document.querySelector(".stale")')).toBe(null);
    });

    it('is not open in two tabs at once.', async () => {
      const second = await started.open();
      await waitFor(second, `document.body.innerText.includes('open in another tab')`);
      await press(second, 'Go on here');
      await waitFor(second, `document.querySelector('h1').innerText.includes('rear left')`);
      await waitFor(page, `document.body.innerText.includes('open in another tab')`);
      await second.close();
      await press(page, 'Go on here');
      expect(
        await waitFor(page, `document.querySelector('h1').innerText.includes('rear left')`),
      ).toBeTruthy();
    });

    it('gives the stick the files of the command, byte for byte.', async () => {
      await show(page, 'stick');
      await catchSaved(page);
      await press(page, name === 'chromium' ? 'Or save 11 files' : 'Save 11 files');
      await waitFor(page, `window.caught.length === 11`);
      const files = stickFiles(48_000).filter((file) => 'track' in file || file.tone.driveDbFs === -5);
      const expected = files.map((file) => createHash('sha256').update(stickWav(file)).digest('hex'));
      expect(await caughtDigests(page)).toEqual(expect.arrayContaining(expected));
    });

    it('saves the job as one file that other programs open, and opens it again.', async () => {
      await catchSaved(page);
      await press(page, 'Save the job as one file');
      await waitFor(page, `window.caught.length === 1`);
      const zip = join(folder, `${name}.zip`);
      writeFileSync(zip, await caughtBytes(page));
      const listed = execFileSync('/usr/bin/python3', ['-m', 'zipfile', '-l', zip], { encoding: 'utf8' });
      for (const file of ['session.yaml', 'setting-14.wav', 'steptone-out/report.html'])
        expect(listed).toContain(file);
      execFileSync('/usr/bin/python3', ['-m', 'zipfile', '-t', zip]);

      await press(page, 'New job');
      await press(page, 'Yes, clear it');
      await waitFor(page, `document.querySelector('h1').innerText === 'New job'`);
      await page.giveFiles([zip]);
      await waitFor(page, `document.querySelector('h1').innerText.includes('rear left')`);
      const kept = await keptTexts(page, 'steptone-out/');
      expect(kept['report.html'] === (await byCommand())['report.html']).toBe(true);
    });

    it('proves an install as the command does, byte for byte.', async () => {
      const zip = await proofZip();
      await page.giveFiles([zip]);
      await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 1 recordings')`);
      await show(page, 'prove');
      await press(page, 'Hold the recording');
      await waitFor(
        page,
        `document.querySelector('main').innerText.includes('The plan with the volts as left')`,
      );
      const kept = await keptTexts(page, 'after-install/steptone-out/');
      await steptone([
        'verify',
        join(folder, 'after-install'),
        '--plan',
        join(folder, 'results.json'),
        '--force',
      ]);
      const out = join(folder, 'after-install', 'steptone-out');
      expect(kept['verify.html'] === readFileSync(join(out, 'verify.html'), 'utf8')).toBe(true);
      const command = JSON.parse(readFileSync(join(out, 'verify.json'), 'utf8'));
      expect(differences(JSON.parse(kept['verify.json']), command)).toEqual([]);
    });

    it('breaks no rule of axe-core on any step, fits 390 px, and asks nothing of network or console.', async () => {
      for (const step of STEPS) {
        await show(page, step);
        await page.resize(1280, 900);
        expect(await brokenRules(page), step).toEqual([]);
        await page.resize(390, 800);
        expect(await page.evaluate('document.documentElement.scrollWidth'), step).toBeLessThanOrEqual(390);
      }
      expect(page.complaints).toEqual([]);
    });
  });
}

/** A recording after the install and the command's plan, as one file. */
async function proofZip(): Promise<string> {
  await byCommand();
  const zip = join(folder, 'proof.zip');
  const after = join(folder, 'after-install');
  if (existsSync(zip)) return zip;
  mkdirSync(after);
  // Another recording: one from which the plan was made is refused.
  const wav = readFileSync(join(SAMPLE, 'setting-22.wav'));
  wav[wav.length - 2] ^= 1;
  writeFileSync(join(after, 'setting-22.wav'), wav);
  writeFileSync(
    join(after, 'session.yaml'),
    'settings: 22\nchannels: [rear-left]\ncalibration: { kind: pad, padRatio: 11, fullScaleVoltsRms: 1.4 }\n',
  );
  const script =
    'import sys, zipfile\nwith zipfile.ZipFile(sys.argv[1], "w", zipfile.ZIP_DEFLATED) as z:\n' +
    ' z.write(sys.argv[2] + "/results.json", "steptone-out/results.json")\n' +
    ' for name in ("session.yaml", "setting-22.wav"): z.write(sys.argv[2] + "/after-install/" + name, "after-install/" + name)\n';
  execFileSync('/usr/bin/python3', ['-c', script, zip, folder]);
  return zip;
}

function words(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}

/** Where two documents differ by more than the last digits of their numbers. */
const SHA_256 = /^[0-9a-f]{64}$/;

function differences(one: unknown, other: unknown, path = ''): string[] {
  if (typeof one === 'number' && typeof other === 'number')
    return Math.abs(one - other) <= SAME * Math.max(1, Math.abs(one), Math.abs(other))
      ? []
      : [`${path}: ${one} and ${other}`];
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null)
    return one === other ? [] : [`${path}: ${String(one)} and ${String(other)}`];
  const names = new Set([...Object.keys(one), ...Object.keys(other)]);
  return [...names].flatMap((name) =>
    differences(
      (one as Record<string, unknown>)[name],
      (other as Record<string, unknown>)[name],
      `${path}.${name}`,
    ),
  );
}
