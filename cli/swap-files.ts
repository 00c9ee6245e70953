import {
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  linkSync,
  lstatSync,
  mkdirSync,
  openSync,
  readFileSync,
  readlinkSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { SteptoneError } from '../src/model/errors.ts';
import { namesIn } from './near-name.ts';
import { systemCode } from './system-reason.ts';

/**
 * Several files of a folder change together, whatever ends the process in between.
 *
 * 1. The finished new files lie in a folder of their own; renaming it to `.steptone-set` begins the change. Only one run
 *    at a time can have that name.
 * 2. The old files are kept in it (as second names of the same data), and one after the other each name becomes a link to
 *    `.steptone-set/now/NAME`, where `now` is a link to the old ones: every name still gives the old file.
 * 3. `now` is turned to the new files. This is the one step in which the set changes, and renaming a link is whole or not
 *    at all (POSIX, rename).
 * 4. One after the other each name becomes the plain file to which its link leads.
 *
 * A run that is killed leaves links through which one whole set is read, old or new; the next run makes plain files of
 * them (`removeLeftovers`). Sticks that know no links get the new files one by one; there the next run takes back what a
 * killed one began.
 */
const SET = '.steptone-set';
/** No run needs longer for the change itself; its process number may be another program's by then. */
const LONGEST_CHANGE_SECONDS = 60;
/** No run needs longer to write all its files (common practice: a stick of 5 MB/s takes a minute for 250 MB). */
const LONGEST_RUN_SECONDS = 3600;
const WAIT_SECONDS = 10;

/** Where a run writes its files before they take their places. */
export interface Stage {
  /** To be made by whoever writes into it. */
  readonly files: string;
  /** All of it, to be removed where the work comes to nothing. */
  readonly all: string;
}

let stages = 0;

/** Makes a place for new files: in the folder or, where that is still to be made, beside it. */
export function makeStage(folder: string): Stage {
  const own = `${process.pid}-${Date.now()}${stages++}.unfinished`;
  const all = existsSync(folder)
    ? join(folder, `.${own}`)
    : join(dirname(folder), `.${basename(folder)}.${own}`);
  mkdirSync(all);
  mkdirSync(join(all, 'new'));
  mkdirSync(join(all, 'old'));
  mkdirSync(join(all, 'links'));
  writeFileSync(join(all, `owner-${process.pid}`), '');
  return { files: join(all, 'new'), all };
}

/**
 * Gives staged files their places, all at once.
 *
 * @param checkAgain looks for files in the way; called when no other run can write them any more
 * @throws SteptoneError 'cannot-write' where another run does not come to its end; what the system throws, the older set whole
 */
export function swapFiles(
  { all, files }: Stage,
  { folder, names, checkAgain }: { folder: string; names: readonly string[]; checkAgain: () => void },
): void {
  if (!existsSync(folder) && madeAtOnce({ files, folder })) {
    rmSync(all, { recursive: true, force: true });
    return;
  }
  writeFileSync(join(all, 'names'), JSON.stringify(names));
  takeTurn(all, folder);
  try {
    checkAgain();
    change(folder, names);
  } catch (error) {
    endChange(folder);
    throw error;
  }
  try {
    endChange(folder);
  } catch {
    // The new set is whole, though read through links: the next run tidies up.
  }
}

/** Removes what killed runs left in a folder and beside it; what a change left half done becomes one whole set. */
export function removeLeftovers(folder: string): void {
  const set = join(folder, SET);
  const owner = ownerOf(set);
  if (owner !== undefined && isGone({ owner, path: set, afterSeconds: LONGEST_CHANGE_SECONDS }))
    settle(folder, owner);
  const beside = new RegExp(`^\\.${escaped(basename(folder))}\\.(\\d+)-\\d+\\.unfinished$`);
  for (const [place, pattern] of [
    [folder, /^\.(\d+)-\d+\.unfinished$/],
    [dirname(folder), beside],
  ] as const) {
    for (const name of namesIn(place)) {
      const pid = pattern.exec(name)?.[1];
      const path = join(place, name);
      if (pid !== undefined && isGone({ owner: Number(pid), path, afterSeconds: LONGEST_RUN_SECONDS }))
        rmSync(path, { recursive: true, force: true });
    }
  }
}

/** A folder that is not there yet appears with all its files. */
function madeAtOnce({ files, folder }: { files: string; folder: string }): boolean {
  try {
    renameSync(files, folder);
    return true;
  } catch (error) {
    if (existsSync(folder)) return false; // another run made it meanwhile
    throw error;
  }
}

function takeTurn(all: string, folder: string): void {
  const set = join(folder, SET);
  const until = Date.now() + 1000 * WAIT_SECONDS;
  for (;;) {
    try {
      renameSync(all, set);
      return;
    } catch (error) {
      const owner = ownerOf(set);
      if (owner === undefined && !isTaken(error)) throw error;
      if (owner !== undefined && isGone({ owner, path: set, afterSeconds: LONGEST_CHANGE_SECONDS }))
        settle(folder, owner);
      if (Date.now() > until) throw takenBy(owner, set);
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 20);
    }
  }
}

function change(folder: string, names: readonly string[]): void {
  const set = join(folder, SET);
  for (const name of names) keepOld(join(folder, name), join(set, 'old', name));
  if (!canLink(set)) {
    writeFileSync(join(set, 'one-by-one'), '');
    for (const name of names) renameSync(join(set, 'new', name), join(folder, name));
    unlinkSync(join(set, 'one-by-one'));
    return;
  }
  for (const name of names) symlinkSync(join(SET, 'now', name), join(set, 'links', name));
  syncFolder(set);
  for (const name of names) renameSync(join(set, 'links', name), join(folder, name));
  symlinkSync('new', join(set, 'next'));
  syncFolder(folder);
  renameSync(join(set, 'next'), join(set, 'now'));
  syncFolder(set);
}

/** As a second name where the disk knows such; a link is followed, for what it leads to is what was there. */
function keepOld(path: string, kept: string): void {
  if (!existsSync(path)) return;
  try {
    if (lstatSync(path).isSymbolicLink()) copyFileSync(path, kept);
    else linkSync(path, kept);
  } catch (error) {
    if (systemCode(error) === 'ENOSPC') throw error;
    copyFileSync(path, kept);
  }
}

function canLink(set: string): boolean {
  try {
    symlinkSync('old', join(set, 'now'));
    return true;
  } catch (error) {
    if (['EPERM', 'ENOSYS', 'ENOTSUP', 'EOPNOTSUPP', 'EINVAL'].includes(systemCode(error) ?? ''))
      return false;
    throw error;
  }
}

/** The change of a run that was killed, by the one run that first puts its own name to it. */
function settle(folder: string, owner: number): void {
  const set = join(folder, SET);
  try {
    renameSync(join(set, `owner-${owner}`), join(set, `owner-${process.pid}`));
  } catch {
    return;
  }
  endChange(folder);
}

/** Plain files in the place of links, then nothing but them. */
function endChange(folder: string): void {
  const set = join(folder, SET);
  const names = JSON.parse(readFileSync(join(set, 'names'), 'utf8')) as string[];
  for (const name of names) {
    const path = join(folder, name);
    if (existsSync(join(set, 'one-by-one'))) takeBack(set, name, path);
    else if (isOwnLink(path)) {
      if (existsSync(path)) renameSync(join(set, 'now', name), path);
      else unlinkSync(path);
    }
  }
  rmSync(join(set, 'one-by-one'), { force: true });
  // First its name, then what is in it: a set that is half removed must not be taken for one half changed.
  const end = join(folder, `.${process.pid}-${Date.now()}${stages++}.unfinished`);
  renameSync(set, end);
  rmSync(end, { recursive: true, force: true });
}

function takeBack(set: string, name: string, path: string): void {
  if (existsSync(join(set, 'old', name))) renameSync(join(set, 'old', name), path);
  else if (!existsSync(join(set, 'new', name))) rmSync(path, { force: true });
}

function isOwnLink(path: string): boolean {
  try {
    return readlinkSync(path).startsWith(join(SET, 'now'));
  } catch {
    return false;
  }
}

function ownerOf(set: string): number | undefined {
  const owner = namesIn(set).find((name) => name.startsWith('owner-'));
  return owner === undefined ? undefined : Number(owner.slice('owner-'.length));
}

/** This process asks before it begins, so what has its number is an older one's. */
function isGone(of: { owner: number; path: string; afterSeconds: number }): boolean {
  if (of.owner === process.pid) return true;
  try {
    process.kill(of.owner, 0);
  } catch (error) {
    if (systemCode(error) === 'ESRCH') return true;
  }
  const changed = statSync(of.path, { throwIfNoEntry: false })?.mtimeMs;
  return changed !== undefined && Date.now() - changed > 1000 * of.afterSeconds;
}

function isTaken(error: unknown): boolean {
  return ['ENOTEMPTY', 'EEXIST', 'EPERM'].includes(systemCode(error) ?? '');
}

/** So that a stick which is pulled out keeps the steps in their order. Some systems cannot, and need not. */
function syncFolder(folder: string): void {
  try {
    const descriptor = openSync(folder, 'r');
    fsyncSync(descriptor);
    closeSync(descriptor);
  } catch {
    // The steps are whole without it.
  }
}

function takenBy(owner: number | undefined, where: string): SteptoneError {
  return new SteptoneError({
    code: 'cannot-write',
    expected: `no other run at work after ${WAIT_SECONDS} s`,
    found: owner === undefined ? 'one still at work' : `process ${owner}, still at work`,
    where,
    nextStep: 'wait until the other run ends, or choose another folder',
  });
}

function escaped(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
}
