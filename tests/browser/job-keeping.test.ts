import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { chromium } from 'playwright-core';
import { afterAll, expect, it } from 'vitest';
import { SHEET_FILES } from '../../src/report/page-files.ts';
import { stickFiles } from '../../src/tones/stick-files.ts';
import { describeWith } from '../outside-programs.ts';
import {
  type ChromiumPage,
  choose,
  jobPageOf,
  keptTexts,
  press,
  show,
  startChromium,
  waitFor,
} from './job-page.ts';
import { onePage } from './one-page.ts';
import { playInto, standInForSound } from './stand-in-sound.ts';
import { PAIR_SESSION } from './taps-to-record.ts';

const SAMPLE = resolve(import.meta.dirname, '../../sample-audio/rear-left');
const WAV = join(SAMPLE, 'setting-22.wav');
const RATE_HZ = 48_000;
const folder = mkdtempSync(join(tmpdir(), 'steptone-keeping-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describeWith(['chromium'], 'files dragged onto the page', () => {
  let page: ChromiumPage;
  onePage(startChromium, (opened) => {
    page = opened;
  });

  it('are taken in: a whole folder, with the folders inside it.', async () => {
    const job = join(folder, 'a job');
    mkdirSync(join(job, 'after-install'), { recursive: true });
    writeFileSync(join(job, 'session.yaml'), PAIR_SESSION);
    for (const file of ['pair-a-10.wav', 'after-install/pair-a-10.wav'])
      writeFileSync(join(job, file), readFileSync(WAV));
    writeFileSync(join(job, '.DS_Store'), 'of a system');
    await drag(page, [job]);
    await waitFor(
      page,
      `document.querySelector('header').innerText.includes('Taken in: 2 recordings and 1 other file.')`,
    );
    expect(Object.keys(await keptTexts(page, '')).sort()).toEqual([
      'after-install/pair-a-10.wav',
      'pair-a-10.wav',
      'session.yaml',
    ]);
  });

  it('of another kind are left out, and told; recordings that are no WAV are told why.', async () => {
    const other = join(folder, 'holiday');
    mkdirSync(other);
    for (const name of ['notes.pdf', 'song.mp3', 'film.mov']) writeFileSync(join(other, name), 'nothing');
    await drag(page, [other]);
    await waitFor(
      page,
      `document.querySelector('header').innerText.includes('Nothing in it belongs to a job.')`,
    );
    expect(await page.evaluate(`document.querySelector('header').innerText`)).toMatch(
      /3 files of another kind.*WAV/,
    );
    expect(Object.keys(await keptTexts(page, ''))).toHaveLength(3);
  });

  it('that are no zip, or a folder of thousands, are refused in words.', async () => {
    const broken = join(folder, 'job.zip');
    writeFileSync(broken, 'PK, but not quite');
    await drag(page, [broken]);
    await waitFor(page, `document.querySelector('header').innerText.includes('cannot be read as a zip')`);
    const many = join(folder, 'many');
    mkdirSync(many);
    for (let i = 0; i < 2100; i++) writeFileSync(join(many, `${i}.json`), '{}');
    await drag(page, [many]);
    await waitFor(
      page,
      `document.querySelector('header').innerText.includes('These are too many files for a job')`,
    );
    expect(page.complaints).toEqual([]);
  });

  it('and a page that is loaded anew while it analyses leave nothing half made.', async () => {
    await press(page, 'New job');
    await press(page, 'Yes, clear it');
    await drag(page, [SAMPLE]);
    await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 4 recordings')`);
    await show(page, 'report');
    await press(page, 'Analyse');
    await waitFor(page, `document.querySelector('.progress') !== null`);
    await page.reload();
    await show(page, 'report');
    expect(await keptTexts(page, 'steptone-out/')).toEqual({});
    expect(await page.evaluate(`document.querySelectorAll('ul.files a').length`)).toBeLessThan(
      SHEET_FILES.length,
    );
  });
});

describeWith(['chromium'], 'the stick', () => {
  it('is written by its folder, each file whole under its own name; a stick that is pulled out is told.', async () => {
    const started = await startChromium();
    try {
      const page = await started.open();
      await show(page, 'stick');
      await page.evaluate(`(() => {
        window.written = {};
        window.showDirectoryPicker = async () => ({
          async getFileHandle(name, { create }) {
            if (window.pulled) throw new DOMException('gone', 'NotFoundError');
            const parts = [];
            return { createWritable: async () => ({
              write: async (bytes) => void parts.push(bytes),
              close: async () => { if (create) window.written[name] = new Blob(parts).size; },
            }) };
          },
        });
      })()`);
      // The step is drawn anew, now that the browser has a picker.
      await show(page, 'car');
      await show(page, 'stick');
      await press(page, `Write ${stickFiles(48_000).length} files to the stick`);
      const names = stickFiles(48_000).map(({ name }) => name);
      await waitFor(page, `Object.keys(window.written).length >= 3`);
      await press(page, 'Stop');
      await waitFor(page, `document.querySelector('.progress') === null`);
      const written = await page.evaluate<Record<string, number>>('window.written');
      expect(Object.keys(written)).toEqual(names.slice(0, Object.keys(written).length));
      // 16 bits, two channels, behind a header of 44 bytes: 44 s of the full track.
      expect(written[names[0]]).toBe(44 + 4 * 44 * RATE_HZ);
      await page.evaluate('void (window.pulled = true)');
      await press(page, 'Write');
      await waitFor(page, `document.querySelector('main [role=alert]')?.innerText.includes('stick')`);

      // Where the radio takes no stick, this device plays, and can be stopped whatever is looked at.
      await page.evaluate(`document.querySelector('main details').open = true`);
      await page.evaluate(`document.querySelector('.tick input').click()`);
      await choose(page, 'steptone-response-only-track-48k.wav');
      await press(page, 'Play it');
      await waitFor(page, `document.querySelector('main').innerText.includes('Hz, output')`);
      await show(page, 'record');
      expect(await page.evaluate(`document.querySelector('.next').innerText`)).toMatch(
        /^Playing steptone-response/,
      );
      await press(page, 'Stop playing');
      await waitFor(page, `!document.querySelector('.next').innerText.includes('Playing')`);
    } finally {
      await started.stop();
    }
  });
});

describeWith(['chromium'], 'a browser', () => {
  it('that keeps nothing says so, and works on.', async () => {
    const started = await startChromium();
    try {
      const page = await started.open();
      await page.driver.addInitScript(`indexedDB.open = () => {
        const request = { error: new DOMException('not in a private window', 'InvalidStateError') };
        setTimeout(() => request.onerror());
        return request;
      }`);
      await page.reload();
      const alert = `document.querySelector('header [role=alert]')?.innerText`;
      expect(await waitFor<string>(page, alert)).toMatch(/keeps nothing.*Save the job as one file/s);
      await page.giveFiles([WAV]);
      await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 1 recording.')`);
      expect(await page.evaluate(alert)).toContain('keeps nothing');
    } finally {
      await started.stop();
    }
  });

  it('that is killed in the middle of a take loses that take and nothing else.', async () => {
    const profile = join(folder, 'profile');
    const quiet = Float32Array.from({ length: 31 * RATE_HZ }, (_, i) => 1e-4 * Math.sin(i));
    const first = await ownProfile(profile);
    await standInForSound(first.page);
    const session = join(folder, 'session.yaml');
    writeFileSync(session, PAIR_SESSION);
    await first.page.giveFiles([session]);
    await show(first.page, 'record');
    await press(first.page, 'Open the input');
    await choose(first.page, 'shorted.wav');
    await press(first.page, 'Record 30 seconds');
    await playInto(first.page, [quiet, quiet]);
    await waitFor(first.page, `document.querySelector('.verdict')?.innerText.startsWith('Good')`);
    await choose(first.page, 'noise-off.wav');
    await press(first.page, 'Record 30 seconds');
    await playInto(first.page, [quiet.subarray(0, 10 * RATE_HZ)]);
    await waitFor(first.page, `document.querySelector('main').innerText.includes('Hearing it')`);
    await first.kill();

    const again = await ownProfile(profile);
    try {
      const kept = await keptTexts(again.page, '');
      expect(Object.keys(kept).sort()).toEqual(['session.yaml', 'shorted.wav']);
      expect(kept['shorted.wav'].startsWith('RIFF')).toBe(true);
      await show(again.page, 'check');
      expect(await again.page.evaluate('document.querySelector("main").innerText')).toContain(
        'Check the recording',
      );
      expect(again.page.complaints).toEqual([]);
    } finally {
      await again.kill();
    }
  });
});

/** As the mouse does it: what is dragged are files and folders of the disk. */
async function drag({ driver }: ChromiumPage, files: readonly string[]): Promise<void> {
  const session = await driver.context().newCDPSession(driver);
  const data = { items: [], files: [...files], dragOperationsMask: 1 };
  for (const type of ['dragEnter', 'dragOver', 'drop'] as const)
    await session.send('Input.dispatchDragEvent', { type, x: 400, y: 400, data });
  await session.detach();
}

/** A browser with a profile on the disk, as a person has it, that can be killed. */
async function ownProfile(profile: string): Promise<{ page: ChromiumPage; kill: () => Promise<void> }> {
  const port = join(profile, 'DevToolsActivePort');
  rmSync(port, { force: true });
  const child = spawn(
    '/usr/bin/chromium',
    [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-background-networking',
      '--no-first-run',
      '--remote-debugging-port=0',
      `--user-data-dir=${profile}`,
      'about:blank',
    ],
    { stdio: 'ignore', detached: true },
  );
  while (!existsSync(port) || !readFileSync(port, 'utf8').includes('\n')) {
    if (child.exitCode !== null) throw new Error('the browser ended by itself');
    await pause(50);
  }
  const browser = await chromium.connectOverCDP(
    `http://127.0.0.1:${readFileSync(port, 'utf8').split('\n')[0]}`,
  );
  const page = await jobPageOf(await browser.contexts()[0].newPage());
  return { page, kill: () => ended(child) };
}

/** With all that it started: nobody can say farewell. */
async function ended(child: ChildProcess): Promise<void> {
  const gone = new Promise((done) => child.once('exit', done));
  process.kill(-child.pid!, 'SIGKILL');
  await gone;
}
