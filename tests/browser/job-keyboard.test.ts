import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { parse } from 'yaml';
import { newCommand } from '../../cli/new.ts';
import { SHEET_FILES } from '../../src/report/page-files.ts';
import { describeWith } from '../outside-programs.ts';
import {
  type JobPage,
  keptTexts,
  press,
  type Started,
  show,
  startChromium,
  tabTo,
  waitFor,
} from './job-page.ts';

const SAMPLE = resolve(import.meta.dirname, '../../sample-audio/rear-left');
const WAVS = readdirSync(SAMPLE)
  .filter((name) => name.endsWith('.wav'))
  .map((name) => join(SAMPLE, name));

describeWith(['chromium'], 'the job page by keyboard alone', () => {
  const folder = mkdtempSync(join(tmpdir(), 'steptone-keys-'));
  let started: Started;
  let page: JobPage;
  beforeAll(async () => {
    started = await startChromium();
    page = await started.open();
  });
  afterAll(async () => {
    await started?.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  it('An empty page is filled in as the questions of the command are, to the same session.', async () => {
    await tabTo(page, 'Car and radio');
    await page.type('A car');
    await tabTo(page, 'Volume settings');
    await page.type('10-38/4');
    for (const output of ['front left', 'front right', 'rear left', 'rear right']) {
      await tabTo(page, output);
      await page.key('Space');
    }
    await newCommand(
      { folder, name: 'A car', settings: '10-38/4', taps: 'front-left, front-right, rear-left, rear-right' },
      null,
    );
    const command = parse(readFileSync(join(folder, 'session.yaml'), 'utf8'));
    const kept = await keptTexts(page, '');
    // Where volts are not known the page leaves the field out, which means the same.
    expect({ calibration: 'none', ...parse(kept['session.yaml']) }).toEqual(command);
    expect(await page.evaluate('document.querySelector(".next").innerText')).toContain('test files');
  });

  it('What is wrong is said beside its field, and what was typed outlives the page.', async () => {
    await show(page, 'car');
    await tabTo(page, 'Supply at the radio');
    await page.type('twelve');
    await waitFor(page, `document.querySelector('.wrong .about')?.innerText.includes("found 'twelve'")`);
    await page.reload();
    await show(page, 'car');
    await waitFor(page, `[...document.querySelectorAll('input')].some(({ value }) => value === 'twelve')`);
    expect(await page.evaluate('document.querySelector(".next").innerText')).toContain('Put right');
  });

  it('From recordings to the report and its sheets without a mouse.', async () => {
    await press(page, 'New job');
    await press(page, 'Yes, clear it');
    await waitFor(page, `document.querySelector('h1').innerText === 'New job'`);
    await page.giveFiles(WAVS);
    await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 4')`);
    await show(page, 'car');
    await tabTo(page, 'Volume settings');
    await page.type('14, 18, 22, 34');
    await tabTo(page, 'rear left');
    await page.key('Space');
    await tabTo(page, 'Report and sheets');
    await page.key('Enter');
    await tabTo(page, 'Analyse');
    await page.key('Space');
    // Stopped by hand and begun again: nothing of the first run is left.
    await press(page, 'Stop');
    await waitFor(page, `document.querySelector('.progress') === null`);
    expect(await keptTexts(page, 'steptone-out/')).toEqual({});
    await press(page, 'Analyse');
    await waitFor(page, `document.querySelectorAll('ul.files a').length === ${1 + SHEET_FILES.length}`);
    await tabTo(page, 'Order sheet');
    expect(await page.evaluate('document.activeElement.href')).toMatch(/^blob:/);
    expect(page.complaints).toEqual([]);
  });

  it('Parts are entered with their units, and a part that says too little is told where.', async () => {
    await show(page, 'car');
    await tabTo(page, 'Add converter');
    await page.key('Enter');
    await tabTo(page, 'Speaker-level inputs');
    await page.type('4');
    await tabTo(page, 'An input stands');
    await page.type('2o');
    await waitFor(page, `document.querySelector('.part .wrong .about')?.innerText.includes("found '2o'")`);
    await page.evaluate(`(() => {
      const input = document.activeElement;
      input.value = '20';
      input.dispatchEvent(new Event('input', { bubbles: true }));
    })()`);
    await waitFor(page, `document.querySelector('.part .wrong') === null`);
    const kept = await keptTexts(page, '');
    expect(parse(kept['equipment.yaml'])).toEqual({
      converter: { name: 'converter', inputs: 4, inputLimitVoltsRms: 20 },
    });
    expect(parse(kept['session.yaml']).equipmentFile).toBe('equipment.yaml');
  });

  it('A session that is wrong all over is shown with its faults, step by step, and never as an empty page.', async () => {
    const broken = join(folder, 'session.yaml');
    writeFileSync(
      broken,
      'settings: { a: 1 }\ntaps: front\nchannels: 7\nrecordings: [null, 3]\nsupply: none\ncalibration: [1]\ncolour: red\n',
    );
    await page.giveFiles([broken]);
    await waitFor(page, `document.querySelector('main .trouble')?.innerText.includes('colour')`);
    for (const step of ['stick', 'screen', 'record', 'check', 'report', 'dial-in', 'prove', 'car']) {
      await show(page, step);
      expect(await page.evaluate('document.querySelector("h2").innerText'), step).not.toBe('');
    }
    await show(page, 'check');
    await press(page, 'Check 4 recordings');
    await waitFor(page, `document.querySelector('.trouble')?.innerText.includes('session.yaml line')`);
    expect(page.complaints).toEqual([]);
  });

  it('Where the browser has no room left, that is said, and what was kept before stays.', async () => {
    await page.evaluate(`(() => {
      IDBObjectStore.prototype.put = function () { throw new DOMException('no room', 'QuotaExceededError'); };
    })()`);
    await page.giveFiles([WAVS[0]]);
    await waitFor(page, `document.querySelector('header [role=alert]')?.innerText.includes('no room left')`);
    expect(Object.keys(await keptTexts(page, 'steptone-out/'))).toHaveLength(2 + SHEET_FILES.length);
  });
});
