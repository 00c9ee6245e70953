import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
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
import { differences, digestOf, digestsIn, folder, textsIn, unzip } from './kept-files.ts';
import { zipOf } from './zip-of.ts';

const SAMPLE = resolve(import.meta.dirname, '../../sample-audio/rear-left');
const sampleFiles = readdirSync(SAMPLE)
  .filter((name) => /\.(wav|yaml)$/.test(name))
  .map((name) => join(SAMPLE, name));
const PAGES = [REPORT_FILE, ...SHEET_FILES];
const STEPS = ['car', 'stick', 'screen', 'record', 'check', 'report', 'dial-in', 'prove'];
const MOST_BYTES = 8_000_000;

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
      const lines = await waitFor<string>(page, `document.querySelector('.lines')?.innerText`);
      const verdict = await page.evaluate<string>(`document.querySelector('.verdict').innerText`);
      expect(words(`${lines} ${verdict}`)).toBe(words(await checkedByCommand()));

      await show(page, 'report');
      await press(page, 'Analyse');
      await waitFor(page, `document.querySelectorAll('ul.files a').length === ${1 + SHEET_FILES.length}`);
      const [command, kept] = [await byCommand(), await keptTexts(page, 'steptone-out/')];
      expect(Object.keys(kept).sort()).toEqual(Object.keys(command).sort());
      for (const file of PAGES) expect(kept[file] === command[file], file).toBe(true);
      // Engines differ in digits that are not written; what is, is the same, and so is its checksum.
      const [ours, its] = [kept, command].map((files) => JSON.parse(files['results.json']));
      expect(its.checksum).toMatch(/^[0-9a-f]{64}$/);
      expect(differences(ours, its)).toEqual([]);
      expect(kept['results.json'] === command['results.json']).toBe(true);
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
      await press(page, `${name === 'chromium' ? 'Or save' : 'Save'} ${stickFiles(48_000).length} files`);
      const digests = stickDigests();
      // Stopped by hand: what is ready by then is whole.
      await waitFor(
        page,
        `window.caught.filter(({ type }) => type === 'audio/wav').length >= ${digests.length}`,
      );
      await press(page, 'Stop');
      await waitFor(page, `document.querySelector('.progress') === null`);
      expect(await caughtDigests(page)).toEqual(expect.arrayContaining(digests));
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
      // What was noted beside the files comes with them: the check, and that the report is of these recordings.
      const steps = `document.querySelector('nav').innerText`;
      expect(await page.evaluate(steps)).toContain('✓ you may close the dash');
      expect(await waitFor<string>(page, steps)).toContain('✓ report and sheets are there');
    });

    it('proves an install as the command does, byte for byte.', async () => {
      const zip = await proofZip();
      await page.giveFiles([zip]);
      await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 1 recording and')`);
      await show(page, 'prove');
      await press(page, 'Compare the recording');
      await waitFor(
        page,
        `document.querySelector('main').innerText.includes('The plan with the volts as left')`,
      );
      const kept = await keptTexts(page, 'after-install/steptone-out/');
      const command = await provedByCommand();
      expect(Object.keys(kept).sort()).toEqual(Object.keys(command).sort());
      for (const [file, text] of Object.entries(command)) expect(kept[file] === text, file).toBe(true);

      // Another recording of the same name and length: what was proved is of the one before.
      expect(await page.evaluate(`document.querySelector('.stale')`)).toBe(null);
      const proved = join(folder, 'after-install', 'setting-22.wav');
      const other = join(folder, `other-${name}.wav`);
      const bytes = readFileSync(proved);
      bytes[bytes.length - 2] ^= 3;
      writeFileSync(other, bytes);
      await page.giveFiles([zipOf({ 'after-install/setting-22.wav': other })]);
      await waitFor(page, `document.querySelector('.stale')?.innerText.includes('compare again')`);
      await page.giveFiles([zipOf({ 'after-install/setting-22.wav': proved })]);
      await waitFor(page, `document.querySelector('.stale') === null`);
    });

    it('plans again for other parts, and saves curves and clips, as the commands do, byte for byte.', async () => {
      await page.giveFiles([equipmentFile()]);
      await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 0')`);
      await show(page, 'report');
      await press(page, 'Plan again');
      await waitFor(page, `document.querySelector('main').innerText.includes('Report of the new plan')`);
      const command = await madeByCommands();
      const again = await keptTexts(page, 'steptone-out/replanned/');
      for (const file of PAGES) expect(again[file] === command.replanned[file], file).toBe(true);
      await catchSaved(page);
      for (const [button, made] of [
        ['Save the curves', command.curves],
        ['Save the clips', command.clips],
      ] as const) {
        await press(page, button);
        await waitFor(page, `window.caught.at(-1)?.type === 'application/zip'`);
        const files = unzip(await caughtBytes(page), `${name}-${button}`);
        await page.evaluate('void (window.caught.length = 0)');
        expect(Object.keys(files).sort()).toEqual(Object.keys(made).sort());
        for (const [file, digest] of Object.entries(made)) expect(files[file], file).toBe(digest);
      }
    });

    it('breaks no rule of axe-core on any step, fits 390 px and 200 %, and asks nothing of network or console.', async () => {
      for (const step of STEPS) {
        await show(page, step);
        await page.resize(1280, 900);
        expect(await brokenRules(page), step).toEqual([]);
        // A window of 1280 px at 200 % has 640 of the page's own.
        for (const width of [640, 390]) {
          await page.resize(width, 800);
          expect(await page.evaluate('document.documentElement.scrollWidth'), step).toBeLessThanOrEqual(
            width,
          );
        }
        // On a phone the list of steps has no room for their states; the open one tells its own.
        const state = `getComputedStyle(document.querySelector('.of-step')).display`;
        expect(await page.evaluate(state)).toBe('block');
        expect(await page.evaluate(`document.querySelector('.of-step').innerText`)).not.toBe('');
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

/** Once for both browsers. */
function once<Value>(work: () => Value): () => Value {
  let made: { value: Value } | undefined;
  return () => {
    made ??= { value: work() };
    return made.value;
  };
}

const checkedByCommand = once(async () => (await steptone(['check', SAMPLE])).stdout);

/** The two tracks and the first tone, as the command writes them. */
const stickDigests = once(() =>
  stickFiles(48_000)
    .slice(0, 3)
    .map((file) => digestOf(stickWav(file))),
);

const provedByCommand = once(async () => {
  await steptone([
    'verify',
    join(folder, 'after-install'),
    '--plan',
    join(folder, 'results.json'),
    '--force',
  ]);
  return textsIn(join(folder, 'after-install', 'steptone-out'));
});

const madeByCommands = once(async () => {
  const results = join(folder, 'results.json');
  const into = (name: string) => ['--out', join(folder, name)];
  await steptone(['replan', results, '--equipment', equipmentFile(), ...into('again')]);
  await steptone(['curves', results, ...into('curves')]);
  await steptone(['clips', results, ...into('clips')]);
  return {
    replanned: textsIn(join(folder, 'again')),
    curves: digestsIn(join(folder, 'curves')),
    clips: digestsIn(join(folder, 'clips')),
  };
});

const equipmentFile = once(() => {
  const file = join(folder, 'equipment.yaml');
  writeFileSync(file, 'amplifiers: [{ feeds: [rear], ratedWatts: 120 }]\n');
  return file;
});

function words(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}
