import { createHash } from 'node:crypto';
import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { steptone } from '../cli/steptone.ts';
import { describeWith } from '../outside-programs.ts';
import {
  catchSaved,
  caughtBytes,
  fillIn,
  type JobPage,
  keptTexts,
  press,
  show,
  startChromium,
  startFirefox,
  waitFor,
} from './job-page.ts';
import { onePage } from './one-page.ts';
import { samplesOf } from './samples-of.ts';
import { unzippedBy, zipOf } from './zip-of.ts';

// What the page does with results alone and with meter readings, held against the command's bytes.
const SAMPLE = resolve(import.meta.dirname, '../../sample-audio/rear-left');
const SETTING = 22;
const TAP = 'rear-left';
const folder = mkdtempSync(join(tmpdir(), 'steptone-results-'));
const out = join(folder, 'steptone-out');
const results = join(out, 'results.json');
const parts = join(folder, 'equipment.yaml');
const same = join(folder, `setting-${SETTING}.wav`);
const other = join(folder, 'other', `setting-${SETTING}.wav`);
const music = join(folder, 'music.wav');
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** What the command says, and what it put into the folder. */
interface Made {
  readonly stdout: string;
  readonly digests: Readonly<Record<string, string>>;
}

let made: Promise<Record<'gains' | 'replanned' | 'refused' | 'clips', Made>>;

/** The same asked of the command, once for both browsers. */
function byCommand(): typeof made {
  made ??= (async () => {
    await run(['analyse', SAMPLE, '--out', out]);
    writeFileSync(parts, 'amplifiers: [{ feeds: [rear], ratedWatts: 120 }]\n');
    const recorded = join(SAMPLE, `setting-${SETTING}.wav`);
    copyFileSync(recorded, same);
    // Another recording of the same: the file from which the plan was made is refused.
    const bytes = readFileSync(same);
    bytes[bytes.length - 2] ^= 1;
    writeFileSync(same, bytes);
    // 2 dB down: another pad, another volume, or another radio.
    const { sampleRateHz, channels } = samplesOf(new Uint8Array(bytes));
    mkdirSync(join(folder, 'other'));
    const quieter = channels.map((samples) => samples.map((sample) => 0.8 * sample));
    writeFileSync(other, encodeWav({ sampleRateHz, channels: quieter, bitDepth: '24' }));
    const tune = Float32Array.from({ length: 3 * 44_100 }, (_, i) => 0.3 * Math.sin((i * i) / 4e5));
    writeFileSync(music, encodeWav({ sampleRateHz: 44_100, channels: [tune, tune], bitDepth: '16' }));
    const at = ['--channels', TAP, '--setting', String(SETTING)];
    const replan = ['replan', results, '--equipment', parts, ...at, '--confirm'];
    return {
      gains: await run(
        ['gains', '--readings', '55=1.8@-5,997=8.0', '--low', '55=2.0@-5,997=3.1', '--watts', '75'].concat([
          '--sensitivity',
          '0.2,4',
          '--input-limit',
          '2.5',
          '--speaker-watts',
          '50',
        ]),
      ),
      replanned: await run([...replan, same], 'again'),
      refused: await run([...replan, other], 'never', 4),
      clips: await run(['clips', results, '--programme', music, '--feed', `feed-${TAP}`], 'clips'),
    };
  })();
  return made;
}

async function run(args: readonly string[], name?: string, expected = 0): Promise<Made> {
  const into = name === undefined ? [] : ['--out', join(folder, name)];
  const { status, stdout, stderr } = await steptone([...args, ...into]);
  if (status !== expected) throw new Error(`${args[0]} ended with ${status}: ${stderr}`);
  return {
    stdout,
    digests: name === undefined || expected !== 0 ? {} : digestsIn(join(folder, name)),
  };
}

for (const [name, start] of [
  ['chromium', startChromium],
  ['firefox', startFirefox],
] as const)
  describeWith([name], `what the page does without recordings, in ${name}`, () => {
    let page: JobPage;
    onePage(
      async () => {
        await byCommand();
        return start();
      },
      (opened) => {
        page = opened;
      },
    );

    it('works out the gains of a few readings as the command does, and keeps what was typed.', async () => {
      await show(page, 'dial-in');
      await page.evaluate(`document.querySelector('summary').click()`);
      for (const [label, text] of [
        ['55 Hz, volts at the highest clean', '1,8'],
        ['55 Hz, volts at a low', '2.0'],
        ['997 Hz, volts at the highest clean', '8.0'],
        ['997 Hz, volts at a low', '3.1'],
      ])
        await fillLabelled(page, label, text);
      await page.evaluate(`(() => {
        const level = document.querySelector('select[aria-label="55 Hz, its level"]');
        level.value = '-5';
        level.dispatchEvent(new Event('change', { bubbles: true }));
      })()`);
      for (const [label, text] of [
        ['Rated power', '75'],
        ['Input sensitivity, knob up', '0.2'],
        ['Input sensitivity, knob down', '4'],
        ['Most an input', '2.5'],
        ['Power rating of the speaker', '50'],
      ])
        await fillIn(page, label, text);
      await press(page, 'Work out the gains');
      const sheet = `document.querySelector('pre.sheet')?.textContent`;
      const { gains } = await byCommand();
      expect(`${await waitFor<string>(page, sheet)}\n`).toBe(gains.stdout);
      await page.reload();
      await show(page, 'dial-in');
      expect(`${await waitFor<string>(page, sheet)}\n`).toBe(gains.stdout);
      // A figure that is no longer what the gains were worked out from takes them away.
      await fillIn(page, 'Rated power', 'many');
      await waitFor(page, `document.querySelector('pre.sheet') === null`);
      await press(page, 'Work out the gains');
      const alert = `document.querySelector('main [role=alert]')?.innerText`;
      expect(await waitFor<string>(page, alert)).toMatch(
        /^Rated power of the amplifier channel: expected a number above zero, found 'many'/,
      );
    });

    it('plans again behind a take of the same radio, and not behind one of another.', async () => {
      const own = Object.fromEntries(
        readdirSync(out).map((file) => [`steptone-out/${file}`, join(out, file)]),
      );
      const { replanned, refused } = await byCommand();
      await page.giveFiles([
        zipOf({ ...own, 'equipment.yaml': parts, [`confirm/setting-${SETTING}.wav`]: other }),
      ]);
      await waitFor(page, `document.querySelector('header').innerText.includes('Taken in: 1 recording')`);
      await show(page, 'report');
      await chooseLabelled(page, 'At volume setting', String(SETTING));
      await press(page, 'Plan again');
      const said = `document.querySelector('.lines')?.innerText.trim()`;
      expect(await waitFor<string>(page, said)).toBe(refused.stdout.trim());
      expect(Object.keys(await keptTexts(page, 'steptone-out/replanned/'))).toEqual([]);

      await page.giveFiles([zipOf({ [`confirm/setting-${SETTING}.wav`]: same, 'equipment.yaml': parts })]);
      await waitFor(page, `document.querySelector('header').innerText.includes('2 in place of')`);
      await press(page, 'Plan again');
      await waitFor(page, `document.querySelector('main').innerText.includes('Report of the new plan')`);
      const lines = (await page.evaluate<string>(said)).split('\n');
      expect(lines.filter((line) => line.startsWith('The radio is the same within'))).toHaveLength(1);
      for (const line of lines) expect(replanned.stdout).toContain(line);
      const kept = await keptTexts(page, 'steptone-out/replanned/');
      expect(digestsOf(kept)).toEqual(replanned.digests);
    });

    it('makes clips of other music and another feed as the command does.', async () => {
      const { clips } = await byCommand();
      await page.evaluate(`[...document.querySelectorAll('summary')].at(-1).click()`);
      await page.evaluate(`(() => {
        const bytes = Uint8Array.from(atob(${JSON.stringify(readFileSync(music).toString('base64'))}), (letter) => letter.charCodeAt(0));
        const given = new DataTransfer();
        given.items.add(new File([bytes], 'music.wav'));
        const input = [...document.querySelectorAll('main input[type=file]')].at(-1);
        input.files = given.files;
        input.dispatchEvent(new Event('change', { bubbles: true }));
      })()`);
      await waitFor(page, `document.querySelector('main').innerText.includes('half minute of music.wav')`);
      await chooseLabelled(page, 'Feed', `feed-${TAP}`);
      await catchSaved(page);
      await press(page, 'Save the clips');
      await waitFor(page, `window.caught.at(-1)?.type === 'application/zip'`);
      expect(digestsIn(unzippedBy(await caughtBytes(page)))).toEqual(clips.digests);
      const said = await waitFor<string>(page, `[...document.querySelectorAll('.lines')].at(-1)?.innerText`);
      expect(said).toContain(`Clips of feed-${TAP}`);
      expect(page.complaints).toEqual([]);
    });
  });

function fillLabelled(page: JobPage, label: string, text: string): Promise<void> {
  return page.evaluate(`(() => {
    const input = document.querySelector('input[aria-label^=${JSON.stringify(label)}]');
    input.value = ${JSON.stringify(text)};
    input.dispatchEvent(new Event('input', { bubbles: true }));
  })()`);
}

async function chooseLabelled(page: JobPage, label: string, value: string): Promise<void> {
  const select = `[...document.querySelectorAll('select')].find(({ labels, options }) =>
    labels?.[0]?.innerText === ${JSON.stringify(label)} && [...options].some((one) => one.value === ${JSON.stringify(value)}))`;
  await waitFor(page, `!!${select}`);
  await page.evaluate(`(() => {
    const select = ${select};
    select.value = ${JSON.stringify(value)};
    select.dispatchEvent(new Event('change', { bubbles: true }));
  })()`);
}

function digestsIn(place: string): Record<string, string> {
  return Object.fromEntries(
    readdirSync(place).map((name) => [name, digestOf(readFileSync(join(place, name)))]),
  );
}

function digestsOf(texts: Readonly<Record<string, string>>): Record<string, string> {
  return Object.fromEntries(Object.entries(texts).map(([name, text]) => [name, digestOf(Buffer.from(text))]));
}

function digestOf(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}
