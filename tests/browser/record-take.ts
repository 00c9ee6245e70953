import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { choose, type JobPage, press, show, waitFor } from './job-page.ts';
import { endPlaying, playInto, standInForSound } from './stand-in-sound.ts';
import { PAIR_SESSION, tapsAt } from './taps-to-record.ts';

// Recording on the page with a sound interface that the test plays: no take depends on how busy the machine is.
export const RATE_HZ = 48_000;

export const folder = mkdtempSync(join(tmpdir(), 'steptone-takes-'));
process.once('exit', () => rmSync(folder, { recursive: true, force: true })); // files of tests may share it

const session = join(folder, 'session.yaml');
writeFileSync(session, PAIR_SESSION);

export const taps = tapsAt(RATE_HZ);

/** A job with the session above, at the step that records. */
export async function beginJob(page: JobPage): Promise<void> {
  await standInForSound(page);
  await page.giveFiles([session]);
  await waitFor(page, `document.querySelector('header').innerText.includes('Taken in')`);
  await show(page, 'record');
}

export async function openInput(page: JobPage): Promise<void> {
  if (await page.evaluate(`!document.querySelector('.levels')`)) await press(page, 'Open the input');
  await waitFor(page, `!!document.querySelector('.levels')`);
}

/** Records a take of the list; answers what the page says of it. */
export async function record(
  page: JobPage,
  file: string,
  channels: readonly Float32Array[],
  meanwhile: () => Promise<void> = async () => {},
): Promise<string> {
  await openInput(page);
  await choose(page, file);
  await press(page, /shorted/.test(file) ? 'Record 30 seconds' : 'Listen for the track');
  await playInto(page, channels);
  await meanwhile();
  const verdict = await waitFor<string>(
    page,
    `[document.querySelector('.verdict')?.innerText].find((text) => text?.includes(${JSON.stringify(file)}))`,
  );
  await endPlaying(page);
  return verdict;
}
