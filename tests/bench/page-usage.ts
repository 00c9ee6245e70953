import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type JobPage, press, type Started, show, waitFor } from '../browser/job-page.ts';
import type { Usage } from './usage.ts';

/** Clock ticks of Linux in a second (`getconf CLK_TCK`). */
const TICKS = 100;
const LOOK_EVERY_MS = 300;

export interface PageUsage extends Usage {
  /** The longest that the page itself did not answer. */
  readonly stillSeconds: number;
}

/**
 * What an analysis on the page uses, all processes of its browser together, from the press of the button to the last link.
 * Linux only.
 */
export async function usedByPage(start: () => Promise<Started>, folder: string): Promise<PageUsage> {
  const browser = await start();
  try {
    const page = await browser.open();
    const files = readdirSync(folder).filter((name) => /\.(wav|yaml)$/.test(name));
    await page.giveFiles(files.map((name) => join(folder, name)));
    await waitFor(page, `document.querySelector('header').innerText.includes('Taken in')`);
    await show(page, 'report');
    return await analysed(page);
  } finally {
    await browser.stop();
  }
}

async function analysed(page: JobPage): Promise<PageUsage> {
  await page.evaluate(`(() => {
    let last = performance.now();
    window.longest = 0;
    setInterval(() => {
      const now = performance.now();
      window.longest = Math.max(window.longest, now - last);
      last = now;
    }, 20);
  })()`);
  let peakMegabytes = 0;
  const looking = setInterval(() => {
    peakMegabytes = Math.max(peakMegabytes, ofChildren().megabytes);
  }, LOOK_EVERY_MS);
  const before = ofChildren().cpuSeconds;
  const began = performance.now();
  await press(page, 'Analyse');
  await waitFor(page, `document.querySelectorAll('ul.files a').length > 1`, 600);
  const wallSeconds = (performance.now() - began) / 1000;
  clearInterval(looking);
  const cpuSeconds = ofChildren().cpuSeconds - before;
  const stillSeconds = (await page.evaluate<number>('window.longest')) / 1000;
  return { wallSeconds, cpuSeconds, peakMegabytes, stillSeconds };
}

/** Of everything that this process started: processor time, and memory with what is shared counted once. */
function ofChildren(): { cpuSeconds: number; megabytes: number } {
  const all = readdirSync('/proc').filter((name) => /^\d+$/.test(name));
  const states = new Map(all.flatMap((pid) => stateOf(pid) ?? []));
  const isOurs = (pid: string): boolean => {
    const parent = states.get(pid)?.parent;
    return parent !== undefined && (parent === String(process.pid) || isOurs(parent));
  };
  const ours = [...states.keys()].filter(isOurs);
  return {
    cpuSeconds: ours.reduce((sum, pid) => sum + states.get(pid)!.ticks, 0) / TICKS,
    megabytes: ours.reduce((sum, pid) => sum + kilobytesOf(pid), 0) / 1024,
  };
}

/** proc_pid_stat(5): the parent is the 4th field, user and system time the 14th and 15th; the name may hold blanks. */
function stateOf(pid: string): [string, { parent: string; ticks: number }][] | null {
  const stat = read(`/proc/${pid}/stat`);
  if (stat === null) return null;
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  return [[pid, { parent: fields[1], ticks: Number(fields[11]) + Number(fields[12]) }]];
}

function kilobytesOf(pid: string): number {
  const found = /^Pss:\s+(\d+) kB/m.exec(read(`/proc/${pid}/smaps_rollup`) ?? '');
  return found === null ? 0 : Number(found[1]);
}

/** Null where the process has ended meanwhile. */
function read(file: string): string | null {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return null;
  }
}
