import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { diskFolder } from '../../cli/disk-folder.ts';
import { loadSession } from '../../cli/load-session.ts';
import { sha256 } from '../../cli/sha256.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { openRecordings } from '../../src/commands/open-recordings.ts';
import { readRecording } from '../../src/measure/read-recording.ts';
import { parseScenario } from '../../src/simulate/read-scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { describeWith } from '../outside-programs.ts';
import { type JobPage, press, show, startChromium, waitFor } from './job-page.ts';

/** Two taps behind a recorder; 16 bits, since the browser's stand-in for a sound interface reads no more. */
const SCENARIO = {
  name: 'Rear pair',
  seed: 5,
  settings: '10',
  track: 'response only',
  taps: [
    { id: 'rear-left', side: 'left', position: 'rear' },
    { id: 'rear-right', side: 'right', position: 'rear', inverted: true },
  ],
  everyTap: { volume: { atSetting: 10, voltsRms: 5, dbPerStep: 1 } },
  recorder: { bits: '16' },
};
const SESSION = `settings: "10"
taps: [front-left, front-right, rear-left, rear-right]
recordings:
  - { file: pair-a-*.wav, channels: [front-left, front-right] }
  - { file: pair-b-*.wav, channels: [rear-left, rear-right] }
`;
const TAKE = 'pair-b-10.wav';
/** Quiet before and after the track, while the page is opened and the take ends. */
const QUIET_SECONDS = 5;
/** A third of a least step of 16 bits: the stand-in repeats what it is given, the browser reads it as 32-bit numbers. */
const SAME_LEVEL_DB = 0.001;
const SAME_CLOCK_PPM = 0.1;

const root = mkdtempSync(join(tmpdir(), 'steptone-record-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

/** The samples of the two taps at a rate. */
function tapsAt(sampleRateHz: number): Float32Array[] {
  const text = JSON.stringify({ ...SCENARIO, recorder: { ...SCENARIO.recorder, sampleRateHz } });
  const [recording] = [...simulate(parseScenario({ fileName: 'scenario', text })).recordings()];
  return recording.channels.map((samples) => Float32Array.from(samples));
}

/** One block as browsers lose them, in the midst of the left sweep. */
function withLostBlock(samples: Float32Array, sampleRateHz: number): Float32Array {
  const at = Math.round(5.5 * sampleRateHz);
  return Float32Array.from([...samples.subarray(0, at), ...samples.subarray(at + 128)]);
}

/** 1.5 dB up over the file, as an automatic gain does it. */
function withDrift(samples: Float32Array): Float32Array {
  return samples.map((sample, i) => 0.8 * sample * 10 ** ((1.5 * i) / samples.length / 20));
}

interface Heard {
  /** What the page says of the take. */
  readonly verdict: string;
  readonly wav: Uint8Array;
  readonly complaints: readonly string[];
}

/** What the meter of the page reads of a tone that is played into it. */
async function readOnPage(samples: Float32Array, session: string): Promise<string> {
  const file = join(root, 'meter.wav');
  const wav = encodeWav({ channels: [samples, samples], sampleRateHz: 48_000, bitDepth: '16' });
  writeFileSync(file, wav);
  const browser = await startChromium({ switches: soundFrom(file) });
  try {
    const page = await browser.open();
    const folder = mkdtempSync(join(root, 'meter-'));
    writeFileSync(join(folder, 'session.yaml'), session);
    writeFileSync(join(folder, 'setting-10.wav'), wav);
    await page.giveFiles([join(folder, 'session.yaml'), join(folder, 'setting-10.wav')]);
    await waitFor(page, `document.querySelector('header').innerText.includes('Taken in')`);
    await show(page, 'dial-in');
    await press(page, 'Open the input');
    return await waitFor<string>(
      page,
      `[...document.querySelectorAll('.reading')].map((one) => one.innerText).find((text) => text.includes(' V RMS'))`,
    );
  } finally {
    await browser.stop();
  }
}

function soundFrom(file: string): string[] {
  return [
    '--autoplay-policy=no-user-gesture-required',
    '--use-fake-ui-for-media-stream',
    '--use-fake-device-for-media-stream',
    `--use-file-for-fake-audio-capture=${file}`,
  ];
}

/** Records one take through the browser's stand-in for a sound interface, which plays the samples. */
async function recordOnPage(name: string, channels: Float32Array[], sampleRateHz: number): Promise<Heard> {
  const quiet = Math.round(QUIET_SECONDS * sampleRateHz);
  const padded = channels.map((samples) => {
    const long = new Float32Array(samples.length + 2 * quiet);
    long.set(samples, quiet);
    return long;
  });
  const file = join(root, `${name}.wav`);
  writeFileSync(file, encodeWav({ channels: padded, sampleRateHz, bitDepth: '16' }));
  const browser = await startChromium({ switches: soundFrom(`${file}%noloop`) });
  try {
    const page = await browser.open();
    const session = join(root, name, 'session.yaml');
    mkdirSync(join(root, name), { recursive: true });
    writeFileSync(session, SESSION);
    await page.giveFiles([session]);
    await waitFor(page, `document.querySelector('header').innerText.includes('Taken in')`);
    await show(page, 'record');
    await choose(page, TAKE);
    await press(page, 'Open the input');
    await press(page, 'Listen for the track');
    const verdict = await waitFor<string>(page, `document.querySelector('.verdict')?.innerText`);
    return { verdict, wav: await keptBytes(page, TAKE), complaints: page.complaints };
  } finally {
    await browser.stop();
  }
}

/** On a busy machine the browser loses blocks itself; the page says so, and the take is made again as it asks. */
async function recordUntilGood(name: string, channels: Float32Array[], rateHz: number): Promise<Heard> {
  const heard = await recordOnPage(name, channels, rateHz);
  if (heard.verdict.startsWith('Good')) return heard;
  const again = await recordOnPage(name, channels, rateHz);
  return again.verdict.startsWith('Good') ? again : recordOnPage(name, channels, rateHz);
}

describeWith(['chromium'], 'recording on the page', () => {
  const heard: Record<string, Promise<Heard>> = {};
  const at = { 44100: tapsAt(44_100), 48000: tapsAt(48_000) };
  beforeAll(() => {
    // Two side by side: each takes as long as the track, and more at a time would make the browser lose sound.
    heard.at44k = recordUntilGood('at44k', at[44_100], 44_100);
    heard.at48k = recordUntilGood('at48k', at[48_000], 48_000);
    const bothGood = Promise.allSettled([heard.at44k, heard.at48k]);
    const lost = at[48_000].map((samples) => withLostBlock(samples, 48_000));
    heard.lost = bothGood.then(() => recordOnPage('lost', lost, 48_000));
    heard.drift = bothGood.then(() => recordOnPage('drift', at[48_000].map(withDrift), 48_000));
    for (const one of Object.values(heard)) one.catch(() => {}); // told by the test that waits for it
  });

  describe.each([
    ['at44k', 44_100],
    ['at48k', 48_000],
  ] as const)('%s', (name, rateHz) => {
    it('finds the track by itself, keeps the take, and calls it good.', async () => {
      const { verdict, complaints } = await heard[name];
      expect(verdict).toMatch(/^Good: pair-b-10.wav/);
      expect(complaints).toEqual([]);
    });

    it('measures as the file does that was played into it.', async () => {
      const { wav } = await heard[name];
      const direct = encodeWav({ channels: at[rateHz], sampleRateHz: rateHz, bitDepth: '16' });
      const [page, file] = [readingsOf(`${name}-page`, wav), readingsOf(`${name}-file`, direct)];
      page.facts[0].channels.forEach(({ levelDbFs }, c) => {
        expect(Math.abs(levelDbFs! - file.facts[0].channels[c].levelDbFs!)).toBeLessThan(SAME_LEVEL_DB);
      });
      expect(Math.abs(page.facts[0].clockPpm!.value - file.facts[0].clockPpm!.value)).toBeLessThan(
        SAME_CLOCK_PPM,
      );
    });
  });

  it('Reads the volts of a tone from the calibrated input: a sine of -10 dBFS is 0.316 of 11 times 1.4 V.', async () => {
    const tone = Float32Array.from(
      { length: 10 * 48_000 },
      (_, i) => 10 ** (-10 / 20) * Math.sin((2 * Math.PI * 100 * i) / 48_000),
    );
    const pad = 'calibration: { kind: pad, padRatio: 11, fullScaleVoltsRms: 1.4 }';
    const reading = await readOnPage(tone, `settings: 10\nchannels: [front-left, front-right]\n${pad}\n`);
    expect(Number(/([\d.]+) V RMS/.exec(reading)?.[1])).toBeCloseTo(10 ** (-10 / 20) * 11 * 1.4, 1);
  });

  it('A block lost on the way and a gain that drifts are told, and the take is to be made again.', async () => {
    const [lost, drift] = await Promise.all([heard.lost, heard.drift]);
    expect(lost.verdict).toMatch(/^Again: pair-b-10.wav/);
    expect(lost.verdict).toContain('in sweep left');
    expect(drift.verdict).toMatch(/^Again: pair-b-10.wav/);
    expect(drift.verdict).toMatch(/the gain changed|the closing s/);
  });
});

function readingsOf(name: string, wav: Uint8Array) {
  const folder = mkdtempSync(join(root, name));
  writeFileSync(join(folder, TAKE), wav);
  writeFileSync(
    join(folder, 'session.yaml'),
    `recordings: [{ file: ${TAKE}, setting: 10, channels: [rear-left, rear-right] }]\n`,
  );
  const loaded = loadSession({ target: folder });
  const recordings = openRecordings({ ...loaded, folder: diskFolder(folder) }, sha256);
  try {
    const [recording] = loaded.session.recordings;
    return readRecording({
      recording,
      session: loaded.session,
      sound: recordings.open(TAKE),
      recorder: { response: new Map(), floorDbFs: new Map(), toneLevel: null },
    });
  } finally {
    recordings.close();
  }
}

function choose(page: JobPage, file: string): Promise<void> {
  return page.evaluate(`(() => {
    const select = [...document.querySelectorAll('select')].find((one) => [...one.options].some(({ value }) => value === '${file}'));
    select.value = '${file}';
    select.dispatchEvent(new Event('change', { bubbles: true }));
  })()`);
}

async function keptBytes(page: JobPage, name: string): Promise<Uint8Array> {
  const text = await page.evaluate<string>(`(async () => {
    const wait = (request) => new Promise((done) => { request.onsuccess = () => done(request.result); });
    const database = await wait(indexedDB.open('steptone-job'));
    const blob = await wait(database.transaction('files').objectStore('files').get('${name}'));
    const bytes = new Uint8Array(await blob.arrayBuffer());
    let text = '';
    for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
    return btoa(text);
  })()`);
  return Uint8Array.from(Buffer.from(text, 'base64'));
}
