import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { diskFolder } from '../../cli/disk-folder.ts';
import { loadSession } from '../../cli/load-session.ts';
import { sha256 } from '../../cli/sha256.ts';
import { openRecordings } from '../../src/commands/open-recordings.ts';
import { readRecording } from '../../src/measure/read-recording.ts';
import { describeWith } from '../outside-programs.ts';
import { choose, keptBytes, press, show, startChromium, waitFor } from './job-page.ts';
import { samplesOf } from './samples-of.ts';
import { PAIR_SESSION, TAKE, tapsAt, wavOf } from './taps-to-record.ts';

// The browser's own capture, with its stand-in for a sound interface, which plays a file over and over: what is missed is
// heard again, so that nothing depends on when the page begins to listen. A busy machine makes the browser itself lose
// blocks, which no test can prevent. What is held is that the page tells the truth about the take that it kept.

/** Between two playings. */
const QUIET_SECONDS = 2;
/** A third of a least step of 16 bits: the stand-in repeats what it is given, the browser reads it as 32-bit numbers. */
const SAME_LEVEL_DB = 0.001;
const SAME_CLOCK_PPM = 0.1;
/** What is left where what was played is taken from what was kept: a few least steps, or all of it where a block is missing. */
const MOST_LEFT_OVER = 0.01;
const RATES_HZ = [44_100, 48_000] as const;

interface Heard {
  /** What the page says of the take. */
  readonly verdict: string;
  readonly wav: Uint8Array;
  readonly complaints: readonly string[];
}

const root = mkdtempSync(join(tmpdir(), 'steptone-record-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

async function recordOnPage(channels: Float32Array[], sampleRateHz: number): Promise<Heard> {
  const folder = join(root, String(sampleRateHz));
  mkdirSync(folder);
  const played = join(folder, 'played.wav');
  const quiet = Math.round(QUIET_SECONDS * sampleRateHz);
  const padded = channels.map((samples) => {
    const long = new Float32Array(samples.length + 2 * quiet);
    long.set(samples, quiet);
    return long;
  });
  writeFileSync(played, wavOf(padded, sampleRateHz));
  writeFileSync(join(folder, 'session.yaml'), PAIR_SESSION);
  const browser = await startChromium({
    switches: [
      '--autoplay-policy=no-user-gesture-required',
      '--use-fake-ui-for-media-stream',
      '--use-fake-device-for-media-stream',
      `--use-file-for-fake-audio-capture=${played}`,
    ],
  });
  try {
    const page = await browser.open();
    await page.giveFiles([join(folder, 'session.yaml')]);
    await waitFor(page, `document.querySelector('header').innerText.includes('Taken in')`);
    await show(page, 'record');
    await choose(page, TAKE);
    await press(page, 'Open the input');
    await press(page, 'Listen for the track');
    const verdict = await waitFor<string>(page, `document.querySelector('.verdict')?.innerText`);
    return { verdict, wav: (await keptBytes(page, TAKE))!, complaints: page.complaints };
  } finally {
    await browser.stop();
  }
}

describeWith(['chromium'], 'recording on the page', () => {
  const at = { 44100: tapsAt(44_100), 48000: tapsAt(48_000) };
  const heard = new Map<number, Promise<Heard>>();
  beforeAll(() => {
    // Side by side: each takes as long as the track.
    for (const rateHz of RATES_HZ) {
      const one = recordOnPage(at[rateHz], rateHz);
      one.catch(() => {}); // told by the test that waits for it
      heard.set(rateHz, one);
    }
  });

  it.each(RATES_HZ)(
    'at %d Hz finds the track by itself, keeps the take, and calls it good where the browser lost nothing.',
    async (rateHz) => {
      const { verdict, wav, complaints } = await heard.get(rateHz)!;
      expect(complaints).toEqual([]);
      const { sampleRateHz, channels } = samplesOf(wav);
      const whole = channels.every((samples, c) => isWhole(samples, at[rateHz][c], sampleRateHz));
      // What the browser says it lost may lie in a pause or beside the track, which is not compared: the stand-in of
      // job-takes.test.ts, which loses nothing, holds that such a take is called good.
      if (whole) expect(verdict).toMatch(/^Good: pair-b-10.wav|The browser lost about \d+ ms/);
      else if (verdict.startsWith('Again')) expect(verdict).toMatch(/samples|sweep|lost/);
    },
  );

  it.each(RATES_HZ)(
    'at %d Hz measures a take that it calls good as the file that was played.',
    async (rateHz) => {
      const { verdict, wav } = await heard.get(rateHz)!;
      const page = readingsOf(`${rateHz}-page`, wav);
      const file = readingsOf(`${rateHz}-file`, wavOf(at[rateHz], rateHz));
      expect(page.facts).toHaveLength(1);
      if (!verdict.startsWith('Good')) return;
      page.facts[0].channels.forEach(({ levelDbFs }, c) => {
        expect(Math.abs(levelDbFs! - file.facts[0].channels[c].levelDbFs!)).toBeLessThan(SAME_LEVEL_DB);
      });
      const [ours, its] = [page, file].map(({ facts }) => facts[0].clockPpm!.value);
      expect(Math.abs(ours - its)).toBeLessThan(SAME_CLOCK_PPM);
    },
  );
});

/** Whether everything that was played stands in what was kept, without a gap, from the first to the last sweep. */
function isWhole(kept: Float32Array, played: Float32Array, sampleRateHz: number): boolean {
  const from = 2 * sampleRateHz;
  const wanted = played.subarray(from, played.length - 2 * sampleRateHz);
  const start = offsetOf(kept, wanted.subarray(0, sampleRateHz / 2), {
    around: from,
    within: 2 * sampleRateHz,
  });
  let left = 0;
  let all = 0;
  wanted.forEach((sample, i) => {
    left += (sample - (kept[start + i] ?? 0)) ** 2;
    all += sample ** 2;
  });
  return left < MOST_LEFT_OVER ** 2 * all;
}

/** Where a piece stands in what was kept: the least squares of the difference. */
function offsetOf(
  kept: Float32Array,
  piece: Float32Array,
  { around, within }: { around: number; within: number },
): number {
  const differenceAt = (at: number, every: number, most: number) => {
    let left = 0;
    for (let i = 0; i < piece.length && left < most; i += every) left += (kept[at + i] - piece[i]) ** 2;
    return left;
  };
  const bestOf = (every: number, first: { at: number; left: number }) => {
    let best = first;
    for (let at = Math.max(0, around - within); at < around + within; at++) {
      const left = differenceAt(at, every, best.left);
      if (left < best.left) best = { at, left };
    }
    return best;
  };
  // A hundred samples find the place; from there on nearly every other one is given up after a few.
  const { at } = bestOf(Math.ceil(piece.length / 100), { at: around, left: Number.POSITIVE_INFINITY });
  return bestOf(1, { at, left: differenceAt(at, 1, Number.POSITIVE_INFINITY) }).at;
}

function readingsOf(name: string, wav: Uint8Array) {
  const folder = mkdtempSync(join(root, name));
  writeFileSync(join(folder, TAKE), wav);
  writeFileSync(
    join(folder, 'session.yaml'),
    `recordings: [{ file: ${TAKE}, setting: 10, channels: [rear-left, rear-right] }]\n`,
  );
  const loaded = loadSession({ target: folder });
  const recordings = openRecordings({ ...loaded, folder: diskFolder(folder) }, { sha256 });
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
