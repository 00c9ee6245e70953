import { SteptoneError } from '../model/errors.ts';
import { fieldName } from '../model/field-path.ts';
import { WAV_NAME } from '../model/resolve-recordings.ts';
import { looksLikeSession, parseSessionFile, type SessionFile } from '../model/session-file.ts';
import { type JobFolder, withFile } from './job-folder.ts';
import { MOST_TEXT_BYTES, readText } from './read-text.ts';

export interface FoundSession {
  /** Where its files are. */
  readonly folder: JobFolder;
  /** The session file's name in that folder; null where there is none. */
  readonly sessionFile: string | null;
  readonly written: SessionFile;
  /** A single WAV was named: its neighbours are not meant. */
  readonly alone: boolean;
}

const SESSION_NAMES = ['session.yaml', 'session.yml', 'session.json'];
const SESSION_EXTENSIONS = ['.yaml', '.yml', '.json'];

/**
 * What is written about the recordings in a folder.
 *
 * @throws SteptoneError `usage` where several files could be the session; as `parseSessionFile` does
 */
export function sessionInFolder(folder: JobFolder): FoundSession {
  const sessionFile = sessionFileIn(folder);
  const written =
    sessionFile === null
      ? nothingWritten((path) => [folder.name, fieldName(path)].filter(Boolean).join(', '))
      : readSessionFile(folder, sessionFile);
  return { folder, sessionFile, written, alone: false };
}

/**
 * What a session file says, or what is written beside a single WAV (nothing).
 *
 * @throws SteptoneError `usage` where it is neither; as `parseSessionFile` does
 */
export function sessionInFile(folder: JobFolder, file: string): FoundSession {
  const place = folder.place(file);
  if (isWavName(file)) {
    const { locate } = nothingWritten(() => place);
    const written = { input: { recordings: [{ file }] }, locate };
    return { folder, sessionFile: null, written, alone: true };
  }
  if (hasSessionExtension(file))
    return { folder, sessionFile: file, written: readSessionFile(folder, file), alone: false };
  throw new SteptoneError({
    code: 'usage',
    expected: `a folder, a session file (${SESSION_EXTENSIONS.join(', ')}) or a WAV`,
    found: `a file named ${file}`,
    where: place,
    nextStep: 'give the folder with the recordings',
  });
}

/** Whether a file is meant as a recording. */
export function isWavName(file: string): boolean {
  return WAV_NAME.test(file);
}

/** By its usual name; else the one file that reads like a session, whatever it is called. */
function sessionFileIn(folder: JobFolder): string | null {
  const names = folder.names();
  const usual = SESSION_NAMES.filter((name) => names.includes(name));
  const present = usual.length > 0 ? usual : names.filter((name) => isSession(folder, name));
  if (present.length < 2) return present[0] ?? null;
  throw new SteptoneError({
    code: 'usage',
    expected: 'one session file in the folder',
    found: present.join(' and '),
    where: folder.name,
    nextStep: `give the one you mean: ${folder.place(present[0])}`,
  });
}

function hasSessionExtension(file: string): boolean {
  return SESSION_EXTENSIONS.some((extension) => file.toLowerCase().endsWith(extension));
}

function isSession(folder: JobFolder, file: string): boolean {
  if (!hasSessionExtension(file)) return false;
  try {
    // Results and truths are JSON too, and long.
    const isShort = withFile({ folder, file }, ({ byteLength }) => byteLength <= MOST_TEXT_BYTES);
    return isShort && looksLikeSession(readText(folder, file));
  } catch (error) {
    if (error instanceof SteptoneError) return false; // a link to nowhere, or not ours
    throw error;
  }
}

function readSessionFile(folder: JobFolder, file: string): SessionFile {
  return parseSessionFile({ fileName: folder.place(file), text: readText(folder, file) });
}

function nothingWritten(locate: SessionFile['locate']): SessionFile {
  return { input: {}, locate };
}
