import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { describeWith } from '../outside-programs.ts';
import { type JobPage, keptBytes, press, show, startChromium, waitFor } from './job-page.ts';
import { onePage } from './one-page.ts';
import { beginJob, folder, openInput, RATE_HZ, record, taps } from './record-take.ts';
import { samplesOf } from './samples-of.ts';
import { endPlaying, playInto } from './stand-in-sound.ts';
import { PAIR_SESSION, wavOf } from './taps-to-record.ts';

describeWith(['chromium'], 'the input of the page', () => {
  let page: JobPage;
  onePage(startChromium, async (opened) => {
    page = opened;
    await beginJob(page);
  });
  const alert = (words: string) =>
    `document.querySelector('main [role=alert]')?.innerText.includes('${words}')`;

  it.each([
    ['NotAllowedError', 'was not given leave to record'],
    ['NotFoundError', 'is not there'],
    ['NotReadableError', 'Is another program using it?'],
  ])('that the browser refuses with %s says what to do.', async (name, words) => {
    await page.evaluate(`void (standIn.refuses = '${name}')`);
    await press(page, 'Open the input');
    expect(await waitFor(page, alert(words))).toBe(true);
    await page.evaluate('void (standIn.refuses = null)');
  });

  it('tells one channel where the take has two, automatic gain, and its rate.', async () => {
    await page.evaluate(
      `void Object.assign(standIn.settings, { sampleRate: 96000, channelCount: 1, autoGainControl: true })`,
    );
    await press(page, 'Open the input');
    await waitFor(page, `!!document.querySelector('.levels')`);
    const told = await page.evaluate<string>(`document.querySelector('main').innerText`);
    expect(told).toContain('This input gives one channel');
    expect(told).toContain('automatic gain is on');
    expect(told).toContain('96000 Hz, one channel');
    await press(page, 'Close it');
    await page.evaluate(`void Object.assign(standIn.settings, { channelCount: 2, autoGainControl: false })`);
  });

  it('at 96 kHz is kept at 96 kHz.', async () => {
    const quiet = Float32Array.from({ length: 31 * 96_000 }, (_, i) => 1e-4 * Math.sin(i));
    expect(await record(page, 'shorted.wav', [quiet, quiet])).toMatch(/^Good: shorted.wav/);
    const { sampleRateHz, channels } = samplesOf((await keptBytes(page, 'shorted.wav'))!);
    expect(sampleRateHz).toBe(96_000);
    expect(channels[1].length / sampleRateHz).toBeCloseTo(30, 0);
  });

  it('tells good, too hot and too low, and the headroom.', async () => {
    await page.evaluate(`void (standIn.settings.sampleRate = 48000)`);
    await press(page, 'Close it');
    await press(page, 'Open the input');
    await waitFor(page, `!!document.querySelector('.levels')`);
    const half = Float32Array.from({ length: RATE_HZ }, (_, i) => 0.5 * Math.sin(i / 10));
    // Half of full scale is 6 dB below it.
    for (const [size, words] of [
      [1, 'good'],
      [1, '6.0 dB'],
      [1.9, 'too hot'],
      [0.002, 'too low'],
    ] as const) {
      await press(page, 'Clear the peaks');
      const samples = half.map((sample) => size * sample);
      await playInto(page, [samples, samples]);
      const told = `document.querySelector('.levels').innerText.includes('${words}')`;
      expect(await waitFor(page, told)).toBe(true);
      await endPlaying(page);
    }
  });

  it('takes the pad of a session that is given.', async () => {
    const meter = join(folder, 'meter');
    mkdirSync(meter, { recursive: true });
    const files = ['session.yaml', 'pair-a-10.wav'].map((name) => join(meter, name));
    const pad = 'calibration: { kind: pad, padRatio: 11, fullScaleVoltsRms: 1.4 }';
    writeFileSync(files[0], `${PAIR_SESSION}${pad}\n`);
    writeFileSync(files[1], wavOf(taps, RATE_HZ));
    await page.giveFiles(files);
    await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 1 recording and')`);
    await show(page, 'car');
    const ratio = `[...document.querySelectorAll('input')].find(({ labels }) => labels?.[0]?.innerText === 'Pad ratio')?.value`;
    expect(await waitFor(page, ratio)).toBe('11');
  });

  it.each([-10, -30])('reads a tone of %d dBFS as that much of 11 times 1.4 V.', async (dbFs) => {
    await show(page, 'dial-in');
    await openInput(page);
    const size = 10 ** (dbFs / 20);
    const tone = Float32Array.from(
      // Whole cycles in whole blocks, so that it goes on without a jump.
      { length: 75 * 2048 },
      (_, i) => size * Math.sin((2 * Math.PI * 55 * i) / RATE_HZ),
    );
    await playInto(page, [tone, tone], { over: true });
    // It is a second's worth that is read, at first with the quiet before it; three digits are shown.
    const isRead = `[...document.querySelectorAll('.reading')].some(({ innerText }) =>
      Math.abs(Number(/([\\d.]+) V RMS/.exec(innerText)?.[1]) / ${size * 11 * 1.4} - 1) < 0.006)`;
    expect(await waitFor(page, isRead)).toBe(true);
    await endPlaying(page);
    await press(page, 'Close it');
  });
});
