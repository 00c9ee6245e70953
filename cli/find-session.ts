import { existsSync, statSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { type FoundSession, sessionInFile, sessionInFolder } from '../src/commands/find-session.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { diskFolder } from './disk-folder.ts';
import { nearName } from './near-name.ts';

/**
 * What is written about the recordings in a folder, in a session file, or beside a single WAV (nothing).
 *
 * @throws SteptoneError `file-missing` where there is nothing; as `sessionInFolder` and `sessionInFile` do
 */
export function findSession(target: string): FoundSession {
  if (!existsSync(target)) throw notThere(target);
  return statSync(target).isDirectory()
    ? sessionInFolder(diskFolder(target))
    : sessionInFile(diskFolder(dirname(target)), basename(target));
}

function notThere(target: string): SteptoneError {
  const near = nearName(target);
  return new SteptoneError({
    code: 'file-missing',
    expected: 'a folder of recordings, a session file or a WAV',
    found: 'nothing there',
    where: target || 'an empty name',
    nextStep:
      near === undefined
        ? 'check the name, and whether the card or stick is plugged in'
        : `write '${near}' if that was meant`,
  });
}
