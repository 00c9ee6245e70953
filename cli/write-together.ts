import { existsSync, readdirSync, renameSync, rmdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { refuseToOverwrite, writeNew } from './files.ts';

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
  files: Readonly<Record<string, string>>;
  force: boolean;
}): void {
  const names = Object.keys(files);
  refuseToOverwrite(
    names.map((name) => join(folder, name)),
    { force },
  );
  const isNew = !existsSync(folder);
  const stage = join(folder, `.${process.pid}.unfinished`);
  try {
    for (const name of names) writeNew(join(stage, name), files[name], { force: true });
    for (const name of names) renameSync(join(stage, name), join(folder, name));
  } finally {
    rmSync(stage, { recursive: true, force: true });
    if (isNew && existsSync(folder) && readdirSync(folder).length === 0) rmdirSync(folder);
  }
}
