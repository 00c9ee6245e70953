import { type Dirent, existsSync, readdirSync } from 'node:fs';
import { basename, dirname, isAbsolute, join } from 'node:path';
import type { JobFolder } from '../src/commands/job-folder.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { fileSource } from './files.ts';
import { pathInside } from './inside-folder.ts';

/**
 * A folder of the disk as the commands see it.
 *
 * @param named a file that a person named: wherever a link of that name leads is what was meant
 */
export function diskFolder(folder: string, { named }: { named?: string } = {}): JobFolder {
  const place = (file: string) => (isAbsolute(file) ? file : join(folder, file));
  return {
    name: folder,
    names(inside = '.') {
      const path = join(folder, inside);
      if (inside !== '.' && !existsSync(path)) return [];
      return entriesOf(path)
        .filter((entry) => !entry.isDirectory()) // a pipe is told where it is opened
        .map(({ name }) => name)
        .sort();
    },
    open: (file) => fileSource(file === named ? place(file) : pathInside(folder, file)),
    place,
  };
}

/** One file of the disk: its folder, and its name there. */
export function diskFile(path: string): { folder: JobFolder; file: string } {
  const file = basename(path);
  return { folder: diskFolder(dirname(path), { named: file }), file };
}

function entriesOf(folder: string): Dirent[] {
  try {
    return readdirSync(folder, { withFileTypes: true });
  } catch {
    throw new SteptoneError({
      code: 'file-missing',
      expected: 'a folder that Steptone may read',
      found: 'the system says no',
      where: folder,
      nextStep: 'check its permissions, or copy the recordings to another folder',
    });
  }
}
