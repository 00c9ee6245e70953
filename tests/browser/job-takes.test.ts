import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
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
  show,
  startChromium,
  startFirefox,
  waitFor,
} from './job-page.ts';
import { onePage } from './one-page.ts';
import { beginJob, folder, openInput, RATE_HZ, record, taps } from './record-take.ts';
import { samplesOf } from './samples-of.ts';
import { playInto, pullCable, standInForSound, tonesHeard } from './stand-in-sound.ts';
import { TAKE, wavOf, withDrift, withLostBlock } from './taps-to-record.ts';

const GOOD = [660, 880];
const AGAIN = [440, 330];
const NONE = new Uint8Array(0);
/** In the midst of the left sweep, which begins two and a half seconds behind the start of the file. */
const IN_SWEEP_SECONDS = 5.5;

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
  let page: JobPage;
  onePage(startChromium, async (opened) => {
    page = opened;
    await beginJob(page);
  });

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
    // It is no take that is done, though a file is there.
    const option = `[...document.querySelectorAll('option')].find(({ value }) => value === '${TAKE}')`;
    expect(await page.evaluate(`${option}.text`)).not.toContain('✓');
    expect(await page.evaluate(`${option}.parentElement.value`)).toBe(TAKE);
  });

  it('such as a gain that drifts is to be made again.', async () => {
    const verdict = await record(page, 'pair-b-14.wav', taps.map(withDrift));
    expect(verdict).toMatch(/^Again: pair-b-14.wav/);
    expect(verdict).toMatch(/the gain changed|the closing s/);
  });

  it('such as a knock is to be made again, and where it was is said, while another step is shown and its work stopped.', async () => {
    const struck = taps.map((samples) => samples.slice());
    for (const samples of struck)
      knock(samples, { sampleRateHz: RATE_HZ, atSeconds: IN_SWEEP_SECONDS, peak: 0.3, ringsHz: 2500 });
    const verdict = await record(page, TAKE, struck, async () => {
      await show(page, 'stick');
      await press(page, 'Or save');
      await press(page, 'Stop');
      await waitFor(
        page,
        `document.querySelector('.next').innerText.includes('${TAKE} has to be recorded again')`,
      );
      await press(page, 'Go there');
    });
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
    await waitFor(page, `!!document.querySelector('.levels')`);
    // A laptop that slept gives no more blocks, and tells nobody.
    await page.evaluate('void (standIn.asleep = true)');
    await waitFor(
      page,
      `document.querySelector('main [role=alert]')?.innerText.includes('No more sound comes')`,
    );
    await page.evaluate('void (standIn.asleep = false)');
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
      await openInput(page);
      await page.evaluate(`document.querySelector('.tick input').click()`);
      expect(await record(page, 'setting-10.wav', [heard[0]])).toMatch(/^Good/);
      // One press for all takes that only the volume parts.
      await waitFor(
        page,
        `/Set the volume to 22.*Waiting for the track/s.test(document.querySelector('main').innerText)`,
      );
      await press(page, 'Stop listening');
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
