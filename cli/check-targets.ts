import { accessSync, constants, lstatSync, type Stats, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { SteptoneError } from '../src/model/errors.ts';
import { removeLeftovers } from './swap-files.ts';
import { systemCode, systemReason } from './system-reason.ts';

export interface Targets {
  readonly folder: string;
  readonly names: readonly string[];
  /** Whether files that are there are replaced; absent where the command has no such option. */
  readonly force?: boolean;
}

/**
 * Refuses what would fail after the long work, before it: files that are there already, folders in the place of files, and
 * a folder that is a file, leads through one, or may not be written to. What a killed run left in it is removed.
 *
 * @throws SteptoneError 'would-overwrite' or 'cannot-write'
 */
export function checkTargets(targets: Targets): void {
  const { folder } = targets;
  checkFolder(folder);
  try {
    removeLeftovers(folder);
  } catch (error) {
    throw cannotWrite(folder, error);
  }
  checkNames(targets);
}

/** Of these, only the names. */
export function checkNames({ folder, names, force }: Targets): void {
  const paths = names.map((name) => join(folder, name));
  const inTheWay = paths.filter((path) => entryAt(path) !== undefined);
  for (const path of inTheWay) {
    if (entryAt(path)?.isDirectory()) throw notWritable({ where: path, found: 'a folder of that name' });
  }
  if (force !== true && inTheWay.length > 0) throw wouldOverwrite(inTheWay, force);
}

/** An error of the system while writing, as people are told of it; other errors stay what they are. */
export function cannotWrite(path: string, error: unknown): unknown {
  const code = systemCode(error);
  if (error instanceof SteptoneError || code === undefined) return error;
  return notWritable({
    where: path,
    found: systemReason(error),
    likelyCause:
      code === 'ENOSPC' || code === 'EDQUOT'
        ? 'the disk or stick is full'
        : 'a write-protected folder or stick',
  });
}

/** The folder, or the nearest one above it in which it can be made. */
function checkFolder(folder: string): void {
  let at = folder;
  let found = folderAt(at, folder);
  while (found === undefined && dirname(at) !== at) {
    at = dirname(at);
    found = folderAt(at, folder);
  }
  if (found === undefined) return; // no root: the system says it better when it is asked to write
  if (!found.isDirectory()) {
    const what = at === folder ? 'a file of that name' : `a file of the name ${at} in the path`;
    throw notWritable({ where: folder, found: what });
  }
  try {
    accessSync(at, constants.W_OK | constants.X_OK);
  } catch (error) {
    throw cannotWrite(at, error);
  }
}

function folderAt(at: string, asked: string): Stats | undefined {
  try {
    return statSync(at);
  } catch (error) {
    const code = systemCode(error);
    // Through a file: the file itself is found further up, and named.
    if (code !== 'ENOENT' && code !== 'ENOTDIR') throw cannotWrite(asked, error);
    if (code === 'ENOENT' && entryAt(at) !== undefined)
      throw notWritable({ where: asked, found: `a link that leads nowhere (${at})` });
    return undefined;
  }
}

/** What stands at a path, a link itself included; undefined where nothing does. */
function entryAt(path: string): Stats | undefined {
  try {
    return lstatSync(path);
  } catch (error) {
    const code = systemCode(error);
    if (code === 'ENOENT' || code === 'ENOTDIR') return undefined;
    throw cannotWrite(path, error);
  }
}

function wouldOverwrite(existing: readonly string[], force: boolean | undefined): SteptoneError {
  const others = existing.length > 1 ? ` and ${existing.length - 1} more` : '';
  return new SteptoneError({
    code: 'would-overwrite',
    expected: 'a free name',
    found: `a file of that name${others}`,
    where: existing[0],
    nextStep:
      force === undefined
        ? 'choose another folder, or move the file away'
        : 'choose another folder, or add --force to replace it',
  });
}

function notWritable(of: { where: string; found: string; likelyCause?: string }): SteptoneError {
  return new SteptoneError({
    code: 'cannot-write',
    expected: 'a folder that Steptone may write to',
    ...of,
    nextStep: 'choose another folder',
  });
}
