import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { knock } from '../faults/spoilt.ts';
import { describeWith } from '../outside-programs.ts';
import {
  catchSaved,
  choose,
  fillIn,
  type JobPage,
  keptBytes,
  keptTexts,
  press,
  type Started,
  show,
  startChromium,
  startFirefox,
  waitFor,
} from './job-page.ts';
import { samplesOf } from './samples-of.ts';
import { endPlaying, playInto, pullCable, standInForSound, tonesHeard } from './stand-in-sound.ts';
import { PAIR_SESSION, TAKE, tapsAt, wavOf, withDrift, withLostBlock } from './taps-to-record.ts';

// Recording on the page with a sound interface that the test plays: no take depends on how busy the machine is.
const RATE_HZ = 48_000;
const GOOD = [660, 880];
const AGAIN = [440, 330];
const NONE = new Uint8Array(0);
/** In the midst of the left sweep, which begins two and a half seconds behind the start of the file. */
const IN_SWEEP_SECONDS = 5.5;

const folder = mkdtempSync(join(tmpdir(), 'steptone-takes-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const session = join(folder, 'session.yaml');
writeFileSync(session, PAIR_SESSION);
const taps = tapsAt(RATE_HZ);

/** A job with the session above, at the step that records. */
async function beginJob(page: JobPage): Promise<void> {
  await standInForSound(page);
  await page.giveFiles([session]);
  await waitFor(page, `document.querySelector('header').innerText.includes('Taken in')`);
  await show(page, 'record');
}

async function openInput(page: JobPage): Promise<void> {
  if (await page.evaluate(`!document.querySelector('.levels')`)) await press(page, 'Open the input');
  await waitFor(page, `!!document.querySelector('.levels')`);
}

/** Records a take of the list; answers what the page says of it. */
async function record(page: JobPage, file: string, channels: readonly Float32Array[]): Promise<string> {
  await openInput(page);
  await choose(page, file);
  await press(page, /shorted/.test(file) ? 'Record 30 seconds' : 'Listen for the track');
  await playInto(page, channels);
  const verdict = await waitFor<string>(
    page,
    `[document.querySelector('.verdict')?.innerText].find((text) => text?.includes(${JSON.stringify(file)}))`,
  );
  await endPlaying(page);
  return verdict;
}

for (const [name, start] of [
  ['chromium', startChromium],
  ['firefox', startFirefox],
] as const)
  describeWith([name], 'a take recorded on the page', () => {
    it('is found by itself, kept sample by sample, called good with a rising sound, and the next is named.', async () => {
      const started = await start();
      try {
        const page = await started.open();
        await beginJob(page);
        const verdict = await record(page, TAKE, taps);
        expect(verdict).toMatch(/^Good: pair-b-10.wav/);
        expect(verdict).toContain('Next: Pair B: both taps, middle at 14 (pair-b-14.wav)');
        expect(await tonesHeard(page)).toEqual(GOOD);
        const kept = samplesOf((await keptBytes(page, TAKE))!);
        expect(kept.sampleRateHz).toBe(RATE_HZ);
        kept.channels.forEach((samples, c) => {
          expect(holds(samples, rounded(taps[c]))).toBe(true);
        });
        expect(page.complaints).toEqual([]);
      } finally {
        await started.stop();
      }
    });
  });

describeWith(['chromium'], 'a take that something happens to', () => {
  let started: Started;
  let page: JobPage;
  beforeAll(async () => {
    started = await startChromium();
    page = await started.open();
    await beginJob(page);
  });
  afterAll(() => started?.stop());

  it('such as a lost block is to be made again, with a falling sound.', async () => {
    const lost = { atSeconds: IN_SWEEP_SECONDS, sampleRateHz: RATE_HZ };
    const verdict = await record(
      page,
      TAKE,
      taps.map((samples) => withLostBlock(samples, lost)),
    );
    expect(verdict).toMatch(/^Again: pair-b-10.wav/);
    expect(verdict).toContain('in sweep left');
    expect(verdict).toContain('Next: record this one again');
    expect(await tonesHeard(page)).toEqual(AGAIN);
  });

  it('such as a gain that drifts is to be made again.', async () => {
    const verdict = await record(page, 'pair-b-14.wav', taps.map(withDrift));
    expect(verdict).toMatch(/^Again: pair-b-14.wav/);
    expect(verdict).toMatch(/the gain changed|the closing s/);
  });

  it('such as a knock is to be made again, and where it was is said.', async () => {
    const struck = taps.map((samples) => samples.slice());
    for (const samples of struck)
      knock(samples, { sampleRateHz: RATE_HZ, atSeconds: IN_SWEEP_SECONDS, peak: 0.3, ringsHz: 2500 });
    const verdict = await record(page, TAKE, struck);
    expect(verdict).toMatch(/^Again: pair-b-10.wav/);
    expect(verdict).toMatch(/knock.* at \d/);
  });

  it('such as a pulled cable is lost; what was recorded before stays, and the input opens again.', async () => {
    const before = await keptBytes(page, TAKE);
    await openInput(page);
    await choose(page, TAKE);
    await press(page, 'Listen for the track');
    await playInto(
      page,
      taps.map((samples) => samples.subarray(0, 6 * RATE_HZ)),
    );
    await waitFor(page, `document.querySelector('main').innerText.includes('Hearing it')`);
    await pullCable(page);
    await waitFor(
      page,
      `document.querySelector('main [role=alert]')?.innerText.includes('The input went away')`,
    );
    expect(Buffer.compare((await keptBytes(page, TAKE)) ?? NONE, before ?? NONE)).toBe(0);
    await press(page, 'Open the input');
    // Nothing of the lost take is left.
    await waitFor(
      page,
      `[...document.querySelectorAll('button')].some((one) => one.innerText === 'Listen for the track')`,
    );
  });

  it('such as a full disk is given as a download instead; what was kept before stays.', async () => {
    await catchSaved(page);
    await page.evaluate(`(() => {
      IDBObjectStore.prototype.put = () => { throw new DOMException('no room', 'QuotaExceededError'); };
    })()`);
    const quiet = Float32Array.from({ length: 31 * RATE_HZ }, (_, i) => 1e-4 * Math.sin(i));
    const verdict = await record(page, 'shorted.wav', [quiet, quiet]);
    expect(verdict).toMatch(/^Again: shorted.wav/);
    expect(verdict).toContain('it was saved as a download');
    expect(await page.evaluate('window.caught.length')).toBe(1);
    expect(await page.evaluate(`document.querySelector('header [role=alert]').innerText`)).toContain(
      'no room left',
    );
    expect(Object.keys(await keptTexts(page, '')).sort()).toEqual([TAKE, 'pair-b-14.wav', 'session.yaml']);
  });
});

describeWith(['chromium'], 'the input of the page', () => {
  let started: Started;
  let page: JobPage;
  beforeAll(async () => {
    started = await startChromium();
    page = await started.open();
    await beginJob(page);
  });
  afterAll(() => started?.stop());
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

  it.each([-10, -30])('reads a tone of %d dBFS as that much of 11 times 1.4 V.', async (dbFs) => {
    const meter = join(folder, 'meter');
    mkdirSync(meter, { recursive: true });
    const files = ['session.yaml', 'pair-a-10.wav'].map((name) => join(meter, name));
    const pad = 'calibration: { kind: pad, padRatio: 11, fullScaleVoltsRms: 1.4 }';
    writeFileSync(files[0], `${PAIR_SESSION}${pad}\n`);
    writeFileSync(files[1], wavOf(taps, RATE_HZ));
    await page.giveFiles(files);
    await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 1 recording and')`);
    await show(page, 'dial-in');
    await press(page, 'Open the input');
    const size = 10 ** (dbFs / 20);
    const tone = Float32Array.from(
      // Whole cycles in whole blocks, so that it goes on without a jump.
      { length: 75 * 2048 },
      (_, i) => size * Math.sin((2 * Math.PI * 55 * i) / RATE_HZ),
    );
    const reading = `[...document.querySelectorAll('.reading')].map((one) => one.innerText).find((text) => text.includes(' V RMS'))`;
    await playInto(page, [tone, tone], { over: true });
    const volts = /([\d.]+) V RMS/.exec(await waitFor<string>(page, reading))![1];
    await endPlaying(page);
    // Three digits are shown.
    expect(Math.abs(Number(volts) / (size * 11 * 1.4) - 1)).toBeLessThan(0.006);
    await show(page, 'record');
  });
});

describeWith(['chromium'], 'screening by phone', () => {
  it('hears at the seat whether the bass goes with the volume, and says from where.', async () => {
    const started = await startChromium();
    try {
      const page = await started.open();
      const radio = exampleScenario('shelf loss', { settings: [10, 22, 34], track: 'response only' });
      const heard = Array.from(simulate(radio).recordings(), ({ channels }) =>
        Float32Array.from(channels[0]),
      );
      await standInForSound(page, { channelCount: 1 });
      await show(page, 'screen');
      await fillIn(page, 'Three volume settings', '10, 22, 34');
      expect(await record(page, 'setting-10.wav', [heard[0]])).toMatch(/^Good/);
      // The others were recorded before, and come in a zip.
      await page.giveFiles([zipOf({ 22: heard[1], 34: heard[2] })]);
      await press(page, 'Read these 3 takes');
      const said = await waitFor<string>(page, `document.querySelector('.lines')?.innerText`);
      expect(said).toMatch(/^Does bass go with the volume\? Yes/m);
      expect(page.complaints).toEqual([]);
    } finally {
      await started.stop();
    }
  });
});

/** Takes of the microphone in the folder of the screening. */
function zipOf(takes: Readonly<Record<number, Float32Array>>): string {
  const place = join(folder, 'phone', 'screening');
  mkdirSync(place, { recursive: true });
  for (const [setting, samples] of Object.entries(takes))
    writeFileSync(join(place, `setting-${setting}.wav`), wavOf([samples], RATE_HZ));
  // Beside a file of another folder, so that the zip holds no outer one.
  writeFileSync(join(folder, 'phone', 'notes.yaml'), 'a: 1\n');
  const script =
    'import os, sys, zipfile\nos.chdir(sys.argv[1])\nwith zipfile.ZipFile("phone.zip", "w") as z:\n' +
    ' z.write("notes.yaml")\n for f in sorted(os.listdir("screening")): z.write("screening/" + f)\n';
  execFileSync('/usr/bin/python3', ['-c', script, join(folder, 'phone')]);
  return join(folder, 'phone', 'phone.zip');
}

describe('what the tests play', () => {
  it('is found in what was kept, and not where a sample is missing.', () => {
    const [left] = taps;
    expect(holds(rounded(left), rounded(left))).toBe(true);
    expect(holds(withLostBlock(rounded(left), { atSeconds: 12, sampleRateHz: RATE_HZ }), rounded(left))).toBe(
      false,
    );
  });
});

/** As 16 bits hold them. */
function rounded(samples: Float32Array): Float32Array {
  return samples.map((sample) => Math.round(32_768 * sample) / 32_768);
}

/** Whether a file holds everything that was played, but for the first and the last second, sample by sample. */
function holds(kept: Float32Array, played: Float32Array): boolean {
  const wanted = played.subarray(RATE_HZ, played.length - RATE_HZ);
  for (let shift = -2 * RATE_HZ; shift < 2 * RATE_HZ; shift++) {
    const start = RATE_HZ + shift;
    let i = 0;
    while (i < wanted.length && kept[start + i] === wanted[i]) i++;
    if (i === wanted.length) return true;
  }
  return false;
}
