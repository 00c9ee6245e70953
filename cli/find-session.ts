import { type Stats, statSync } from 'node:fs';
import { type FoundSession, sessionInFile, sessionInFolder } from '../src/commands/find-session.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { diskFile, diskFolder } from './disk-folder.ts';
import { nearName } from './near-name.ts';
import { systemReason } from './system-reason.ts';

/**
 * What is written about the recordings in a folder, in a session file, or beside a single WAV (nothing).
 *
 * @throws SteptoneError `file-missing` where there is nothing; as `sessionInFolder` and `sessionInFile` do
 */
export function findSession(target: string): FoundSession {
  if (lookedAt(target).isDirectory()) return sessionInFolder(diskFolder(target));
  const { folder, file } = diskFile(target);
  return sessionInFile(folder, file);
}

function lookedAt(target: string): Stats {
  try {
    return statSync(target);
  } catch (error) {
    throw notThere(target, systemReason(error));
  }
}

function notThere(target: string, found: string): SteptoneError {
  const near = nearName(target);
  return new SteptoneError({
    code: 'file-missing',
    expected: 'a folder of recordings, a session file or a WAV',
    found,
    where: target || 'an empty name',
    nextStep:
      near === undefined
        ? 'check the name, and that the card or stick is plugged in'
        : `write '${near}' if you meant that`,
  });
}
