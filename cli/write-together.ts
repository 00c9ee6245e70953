import { existsSync, readdirSync, renameSync, rmdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { SteptoneError } from '../src/model/errors.ts';
import { refuseToOverwrite, writeNew } from './files.ts';
import { holdSignals } from './hold-signals.ts';

/**
 * Refuses what would fail after the long work, before it: files that are there already, and a folder that is a file.
 *
 * @throws SteptoneError 'would-overwrite' or 'cannot-write'
 */
export function checkTargets({
  folder,
  names,
  force,
}: {
  folder: string;
  names: readonly string[];
  force?: boolean;
}): void {
  if (existsSync(folder) && !statSync(folder).isDirectory()) {
    throw new SteptoneError({
      code: 'cannot-write',
      expected: 'a folder to write to',
      found: 'a file of that name',
      where: folder,
      nextStep: 'name another folder with --out',
    });
  }
  refuseToOverwrite(
    names.map((name) => join(folder, name)),
    { force },
  );
}

/**
 * Writes several files of one folder all or none: each beside its place first, then renamed together.
 *
 * @throws SteptoneError as `writeNew` does
 */
export function writeTogether({
  folder,
  files,
  force,
}: {
  folder: string;
  files: Readonly<Record<string, string | Uint8Array>>;
  force?: boolean;
}): void {
  const names = Object.keys(files);
  checkTargets({ folder, names, force });
  const isNew = !existsSync(folder);
  const stage = join(folder, `.${process.pid}.unfinished`);
  const letGo = holdSignals();
  try {
    for (const name of names) writeNew(join(stage, name), files[name], { force: true });
    for (const name of names) renameSync(join(stage, name), join(folder, name));
  } finally {
    rmSync(stage, { recursive: true, force: true });
    if (isNew && existsSync(folder) && readdirSync(folder).length === 0) rmdirSync(folder);
    letGo();
  }
}
