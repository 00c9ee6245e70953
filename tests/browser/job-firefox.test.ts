import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import type { Results } from '../../src/model/results.ts';
import { describeWith } from '../outside-programs.ts';
import { choose, type JobPage, keptTexts, press, show, startFirefox, waitFor } from './job-page.ts';
import { onePage } from './one-page.ts';
import { endPlaying, playInto, standInForSound } from './stand-in-sound.ts';
import { PAIR_SESSION, radioAt } from './taps-to-record.ts';

const folder = mkdtempSync(join(tmpdir(), 'steptone-firefox-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const taken = (words: string) =>
  `document.querySelector('header').innerText.includes(${JSON.stringify(`Taken in: ${words}`)})`;

describeWith(['firefox'], 'Firefox', () => {
  let page: JobPage;
  onePage(startFirefox, (opened) => {
    page = opened;
  });

  it('takes in files that are dropped.', async () => {
    await page.evaluate(`(() => {
      const dataTransfer = new DataTransfer();
      dataTransfer.items.add(new File([${JSON.stringify(PAIR_SESSION)}], 'session.yaml'));
      dataTransfer.items.add(new File(['no sound'], 'song.mp3'));
      document.body.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }));
    })()`);
    await waitFor(page, taken('0 recordings and 1 other file'));
    expect(await page.evaluate(`document.querySelector('header').innerText`)).toContain('song.mp3');
    expect(await keptTexts(page, '')).toEqual({ 'session.yaml': PAIR_SESSION });
  });

  // No program can drag a real folder into it: these give theirs a hundred at a time, as the draft of the W3C has it
  // (File and Directory Entries API, 7.3).
  it('takes in a folder that is dropped, however many files it has, with the folders inside it.', async () => {
    await page.evaluate(`(() => {
      const file = (name) => ({ name, isFile: true, isDirectory: false, file: (done) => setTimeout(done, 0, new File(['x'], name)) });
      const folder = (name, entries) => ({
        name, isFile: false, isDirectory: true,
        createReader() {
          const left = [...entries];
          return { readEntries: (done) => setTimeout(() => done(left.splice(0, 100))) };
        },
      });
      const job = folder('a job', [
        folder('after-install', [file('setting-1.wav')]),
        ...Array.from({ length: 230 }, (_, i) => file('setting-' + i + '.wav')),
      ]);
      const drop = new DragEvent('drop', { bubbles: true, cancelable: true });
      const items = [{ webkitGetAsEntry: () => job, getAsFile: () => null }];
      Object.defineProperty(drop, 'dataTransfer', { value: { items } });
      document.body.dispatchEvent(drop);
    })()`);
    await waitFor(page, taken('231 recordings.'));
    const kept = Object.keys(await keptTexts(page, ''));
    expect(kept).toHaveLength(232);
    expect(kept).toEqual(expect.arrayContaining(['after-install/setting-1.wav', 'setting-229.wav']));
  });

  it('records a second source beside the first, and the analysis says how much louder it is.', async () => {
    await press(page, 'New job');
    await press(page, 'Yes, clear it');
    await waitFor(page, `document.querySelector('h1').innerText === 'New job'`);
    const session = join(folder, 'session.yaml');
    writeFileSync(session, `${PAIR_SESSION}otherSource: phone\n`);
    await page.giveFiles([session]);
    await waitFor(page, taken('0 recordings and 1 other file'));
    await standInForSound(page);
    await show(page, 'record');
    await press(page, 'Open the input');
    const radio = radioAt({ setting: 14, sampleRateHz: 48_000, track: 'full' });
    const quieterDb = 2;
    const phone = radio.map((samples) => samples.map((sample) => sample * 10 ** (-quieterDb / 20)));
    for (const [file, heard] of [
      ['pair-a-14.wav', radio],
      ['source-14.wav', phone],
    ] as const) {
      await choose(page, file);
      if (file.startsWith('source'))
        expect(await page.evaluate(`document.querySelector('main').innerText`)).toContain(
          'full track from phone',
        );
      await press(page, 'Listen for the track');
      await playInto(page, heard);
      const verdict = `[document.querySelector('.verdict')?.innerText].find((text) => text?.includes('${file}'))`;
      expect(await waitFor<string>(page, verdict)).toMatch(/^Good/);
      await endPlaying(page);
    }
    await show(page, 'report');
    await press(page, 'Analyse');
    await waitFor(page, `document.querySelectorAll('ul.files a').length > 1`);
    const { 'results.json': text } = await keptTexts(page, 'steptone-out/');
    const { findings } = JSON.parse(text) as Results;
    const [other] = findingsOf(findings, 'other-source');
    expect(other).toMatchObject({ source: 'phone', settings: [14] });
    expect(isNotMeasurable(other.levelDb) ? null : other.levelDb.value).toBeCloseTo(-quieterDb, 2);
    expect(page.complaints).toEqual([]);
  });
});
