import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { SteptoneError } from '../src/model/errors.ts';
import type { Outcome } from './outcome.ts';
import { packageFolder } from './package-folder.ts';
import { writeTogether } from './write-together.ts';

const PAGE_FILE = 'steptone.html';

/**
 * Writes the job page, which does without a terminal what the commands do, into a folder.
 *
 * @throws SteptoneError 'would-overwrite', 'cannot-write'; 'file-missing' where the page was not built
 */
export async function pageCommand({ folder, force }: { folder: string; force: boolean }): Promise<Outcome> {
  const built = join(packageFolder(), 'dist', PAGE_FILE);
  if (!existsSync(built))
    throw new SteptoneError({
      code: 'file-missing',
      expected: 'the built page',
      found: 'nothing there',
      where: built,
      likelyCause: 'you run from source and nobody built it',
      nextStep: 'run npm run build',
    });
  writeTogether({ folder, files: { [PAGE_FILE]: readFileSync(built) }, force });
  const page = join(folder, PAGE_FILE);
  return {
    text: [
      `Page: ${page}`,
      'Open it in a browser: it does the whole job, and needs neither network nor terminal.',
    ].join('\n'),
    data: { page },
  };
}
