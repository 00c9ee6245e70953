import { lstatSync, type Stats, statSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import { SteptoneError } from '../src/model/errors.ts';
import { fieldName } from '../src/model/field-path.ts';
import { looksLikeSession, parseSessionFile, type SessionFile } from '../src/model/session-file.ts';
import { pathInside } from './inside-folder.ts';
import { namesIn, nearName } from './near-name.ts';
import { MOST_TEXT_BYTES, readText } from './read-text.ts';
import { systemCode, systemReason } from './system-reason.ts';

export interface FoundSession {
  /** Where its files are. */
  readonly folder: string;
  /** The session file's name in that folder; null where there is none. */
  readonly sessionFile: string | null;
  readonly written: SessionFile;
  /** A single WAV was named: its neighbours are not meant. */
  readonly alone: boolean;
}

export const WAV_EXTENSIONS = ['.wav', '.wave', '.bwf', '.rf64'];
const SESSION_NAMES = ['session.yaml', 'session.yml', 'session.json'];
const SESSION_EXTENSIONS = ['.yaml', '.yml', '.json'];

/**
 * What is written about the recordings in a folder, in a session file, or beside a single WAV (nothing).
 *
 * @throws SteptoneError `file-missing` where there is nothing; `usage` where several files could be the session; as
 *   `parseSessionFile` does
 */
export function findSession(target: string): FoundSession {
  if (lookedAt(target).isDirectory()) {
    const sessionFile = sessionFileIn(target);
    const written =
      sessionFile === null
        ? nothingWritten((path) => [target, fieldName(path)].filter(Boolean).join(', '))
        : readSessionFile(pathInside(target, sessionFile));
    return { folder: target, sessionFile, written, alone: false };
  }
  const folder = dirname(target);
  const file = basename(target);
  const extension = extname(file).toLowerCase();
  if (WAV_EXTENSIONS.includes(extension)) {
    const { locate } = nothingWritten(() => target);
    const written = { input: { recordings: [{ file }] }, locate };
    return { folder, sessionFile: null, written, alone: true };
  }
  if (SESSION_EXTENSIONS.includes(extension))
    return { folder, sessionFile: file, written: readSessionFile(target), alone: false };
  throw new SteptoneError({
    code: 'usage',
    expected: `a folder, a session file (${SESSION_EXTENSIONS.join(', ')}) or a WAV`,
    found: `a file named ${file}`,
    where: target,
    nextStep: 'name the folder that holds the recordings',
  });
}

/** By its usual name; else the one file that reads like a session, whatever it is called. */
function sessionFileIn(folder: string): string | null {
  const usual = SESSION_NAMES.filter(
    (name) => lstatSync(join(folder, name), { throwIfNoEntry: false }) !== undefined,
  );
  const present = usual.length > 0 ? usual : namesIn(folder).filter((name) => isSession(join(folder, name)));
  if (present.length < 2) return present[0] ?? null;
  throw new SteptoneError({
    code: 'usage',
    expected: 'one session file in the folder',
    found: present.join(' and '),
    where: folder,
    nextStep: `name the one you mean: ${join(folder, present[0])}`,
  });
}

function isSession(path: string): boolean {
  if (!SESSION_EXTENSIONS.includes(extname(path).toLowerCase())) return false;
  try {
    const file = statSync(path);
    // Results and truths are JSON too, and long.
    return file.isFile() && file.size <= MOST_TEXT_BYTES && looksLikeSession(readText(path));
  } catch (error) {
    if (error instanceof SteptoneError || systemCode(error) !== undefined) return false; // a link to nowhere, or not ours
    throw error;
  }
}

function readSessionFile(path: string): SessionFile {
  return parseSessionFile({ fileName: path, text: readText(path) });
}

function nothingWritten(locate: SessionFile['locate']): SessionFile {
  return { input: {}, locate };
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
        ? 'check the name, and whether the card or stick is plugged in'
        : `write '${near}' if that was meant`,
  });
}
