import { realpathSync } from 'node:fs';
import { relative, resolve, sep } from 'node:path';
import { SteptoneError } from '../src/model/errors.ts';

/**
 * The path of a file that a session names. Links are followed only inside the folder of the job: a folder that somebody
 * sends must not draw files from elsewhere on the disk into a report.
 *
 * @throws SteptoneError 'file-missing' where a link leads out of the folder; what cannot be resolved is left to whoever opens it
 */
export function pathInside(folder: string, name: string): string {
  const path = resolve(folder, name);
  const home = realOf(folder);
  const real = realOf(path);
  // A path without links may lead elsewhere: there it stands in the session for everyone to read.
  if (home === null || real === null || real === resolve(home, name) || isWithin(home, real)) return path;
  throw new SteptoneError({
    code: 'file-missing',
    expected: `a file inside ${folder}`,
    found: 'a link to a place outside',
    where: path,
    likelyCause: 'somebody filled the folder with links',
    nextStep: 'copy the file itself into the folder',
  });
}

function realOf(path: string): string | null {
  try {
    return realpathSync(path);
  } catch {
    return null;
  }
}

function isWithin(home: string, real: string): boolean {
  const way = relative(home, real);
  return way !== '..' && !way.startsWith(`..${sep}`) && resolve(home, way) === real;
}
