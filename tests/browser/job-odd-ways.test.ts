import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, afterEach, beforeEach, expect, it } from 'vitest';
import { describeWith } from '../outside-programs.ts';
import {
  type ChromiumPage,
  keptTexts,
  press,
  type Started,
  show,
  startChromium,
  waitFor,
} from './job-page.ts';
import { onePage } from './one-page.ts';
import { PAIR_SESSION } from './taps-to-record.ts';
import { zipOf } from './zip-of.ts';

const WAV = resolve(import.meta.dirname, '../../sample-audio/rear-left/setting-22.wav');
const folder = mkdtempSync(join(tmpdir(), 'steptone-odd-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describeWith(['chromium'], 'the page, used in an odd way', () => {
  let started: Started<ChromiumPage>;
  let page: ChromiumPage;
  beforeEach(async () => {
    started = await startChromium();
    page = await started.open();
    await waitFor(page, `!!document.querySelector('nav')`);
  });
  afterEach(() => started?.stop());
  const told = (words: string) =>
    waitFor(page, `document.querySelector('header').innerText.includes(${JSON.stringify(words)})`);

  it('opens a saved job that a mailer packed once more.', async () => {
    const inner = zipOf({ 'session.yaml': written('session.yaml', PAIR_SESSION), 'pair-a-10.wav': WAV });
    await page.giveFiles([zipOf({ 'from the customer/job.zip': inner })]);
    await told('Taken in: 1 recording and 1 other file.');
    expect(Object.keys(await keptTexts(page, '')).sort()).toEqual(['pair-a-10.wav', 'session.yaml']);
  });

  it('says which zip inside another is none.', async () => {
    const broken = written('inner.zip', 'PK, but not quite');
    await page.giveFiles([zipOf({ 'inner.zip': broken })]);
    await told('inner.zip cannot be read as a zip');
    expect(await keptTexts(page, '')).toEqual({});
  });

  it('takes the same files twice as one job, and says so.', async () => {
    const files = [written('session.yaml', PAIR_SESSION), WAV];
    await page.giveFiles(files);
    await told('Taken in: 1 recording and 1 other file.');
    await page.giveFiles(files);
    await told('2 in place of those of the same name');
    // A take under the recorder's own name may be any of the list: the check tells.
    expect(await page.evaluate(`document.querySelector('.next').innerText`)).toContain(
      'Check the recordings',
    );
    expect(Object.keys(await keptTexts(page, '')).sort()).toEqual(['session.yaml', 'setting-22.wav']);
  });

  /** U+00FC, and u with U+0308: the same letter (Unicode Standard Annex 15, table 1). */
  it('finds a recording by its name, however the system spells an accented letter.', async () => {
    const session = PAIR_SESSION.replaceAll('pair-a-10.wav', 't\u00fcr-10.wav');
    const decomposed = join(folder, 'tu\u0308r-10.wav');
    writeFileSync(decomposed, readFileSync(WAV));
    await page.giveFiles([written('session.yaml', session), decomposed]);
    await told('Taken in: 1 recording and 1 other file.');
    expect(Object.keys(await keptTexts(page, '')).sort()).toEqual(['session.yaml', 't\u00fcr-10.wav']);
  });
});

describeWith(['chromium'], 'the page without a job', () => {
  let page: ChromiumPage;
  onePage(startChromium, async (opened) => {
    page = opened;
    await waitFor(page, `!!document.querySelector('nav')`);
  });
  const steps = () =>
    page.evaluate<string[]>(`[...document.querySelectorAll('nav a')].map(({ hash }) => hash.slice(1))`);

  it('goes back to the step before with the browser’s own button, and stays in the job.', async () => {
    const open = () =>
      page.evaluate<string>(`document.querySelector('nav a[aria-current]').textContent.trim()`);
    await page.evaluate(`document.querySelector('nav a[href="#stick"]').click()`);
    await page.evaluate(`document.querySelector('nav a[href="#record"]').click()`);
    await waitFor(page, `document.querySelector('h2').innerText === 'Record'`);
    await page.driver.goBack();
    await waitFor(page, `document.querySelector('h2').innerText === 'Stick'`);
    expect(await open()).toBe('Stick');
    await page.driver.goForward();
    await waitFor(page, `document.querySelector('h2').innerText === 'Record'`);
    expect(await open()).toBe('Record');
  });

  it.each([1280, 820])('keeps the steps in their place from one to the next, %d px wide.', async (width) => {
    await page.resize(width, 900);
    const tops: number[] = [];
    for (const id of await steps()) {
      await show(page, id);
      tops.push(await page.evaluate(`document.querySelector('nav').getBoundingClientRect().top + scrollY`));
    }
    expect(new Set(tops)).toEqual(new Set([tops[0]]));
  });

  it.each([320, 360])('needs no scrolling sideways on a phone of %d px.', async (width) => {
    await page.resize(width, 640);
    for (const id of await steps()) {
      await show(page, id);
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(width);
    }
    await press(page, 'Go there');
  });
});

function written(name: string, text: string): string {
  const inside = mkdtempSync(join(folder, 'file-'));
  mkdirSync(inside, { recursive: true });
  writeFileSync(join(inside, name), text);
  return join(inside, name);
}
