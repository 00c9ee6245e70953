import { type Dirent, existsSync, readdirSync, statSync } from 'node:fs';
import { basename, dirname, extname, join, posix } from 'node:path';
import { openWav } from '../src/audio/read-wav.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { type FieldPath, fieldName } from '../src/model/field-path.ts';
import { resolveSession } from '../src/model/resolve-session.ts';
import type { Session } from '../src/model/session.ts';
import { parseSessionFile, type SessionFile } from '../src/model/session-file.ts';
import type { SessionInput } from '../src/model/session-input.ts';
import { fileSource } from './files.ts';
import { readText } from './read-text.ts';

export interface LoadedSession {
  readonly session: Session;
  /** Where its files are. */
  readonly folder: string;
  /** The session file's name in that folder; null where there is none. */
  readonly sessionFile: string | null;
}

const SESSION_NAMES = ['session.yaml', 'session.yml', 'session.json'];
const SESSION_EXTENSIONS = ['.yaml', '.yml', '.json'];
const WAV_EXTENSIONS = ['.wav', '.wave', '.bwf', '.rf64'];

/**
 * The session of a folder, a session file or a single WAV, with its defaults applied. `settings` and `channels` from the
 * command line come before those of the file.
 *
 * @throws SteptoneError as `parseSessionFile` and `resolveSession` do; `file-missing` where there is nothing.
 */
export function loadSession({
  target,
  settings,
  channels,
}: {
  target: string;
  settings?: string;
  channels?: string;
}): LoadedSession {
  const { folder, sessionFile, written } = readTarget(target);
  const input: SessionInput = {
    ...written.input,
    ...(settings === undefined ? {} : { settings }),
    ...(channels === undefined ? {} : { channels: channels.split(',').map((name) => name.trim() || '-') }),
  };
  const fromFlag = { settings, channels };
  const locate = (path: FieldPath) => {
    const flag = path[0] === 'settings' || path[0] === 'channels' ? path[0] : undefined;
    return flag !== undefined && fromFlag[flag] !== undefined ? `--${flag}` : written.locate(path);
  };
  const folderFiles = filesBeside({ folder, input });
  const session = resolveSession(input, {
    folderFiles,
    locate,
    channelCount: channelCountOf({ folder, files: [...filesNamed(input), ...folderFiles] }),
  });
  return { session, folder, sessionFile };
}

function readTarget(target: string): { folder: string; sessionFile: string | null; written: SessionFile } {
  if (!existsSync(target)) {
    throw new SteptoneError({
      code: 'file-missing',
      expected: 'a folder of recordings, a session file or a WAV',
      found: 'nothing there',
      where: target || 'an empty name',
      nextStep: 'check the name, and whether the card or stick is plugged in',
    });
  }
  if (statSync(target).isDirectory()) {
    const file = sessionFileIn(target);
    if (file !== null)
      return { folder: target, sessionFile: file, written: readSessionFile(join(target, file)) };
    return {
      folder: target,
      sessionFile: null,
      written: { input: {}, locate: (path) => [target, fieldName(path)].filter(Boolean).join(', ') },
    };
  }
  const folder = dirname(target);
  const file = basename(target);
  const extension = extname(file).toLowerCase();
  if (WAV_EXTENSIONS.includes(extension)) {
    const input = { recordings: [{ file }] };
    return { folder, sessionFile: null, written: { input, locate: () => target } };
  }
  if (SESSION_EXTENSIONS.includes(extension))
    return { folder, sessionFile: file, written: readSessionFile(target) };
  throw new SteptoneError({
    code: 'usage',
    expected: `a folder, a session file (${SESSION_EXTENSIONS.join(', ')}) or a WAV`,
    found: `a file named ${file}`,
    where: target,
    nextStep: 'name the folder that holds the recordings',
  });
}

function sessionFileIn(folder: string): string | null {
  const present = SESSION_NAMES.filter((name) => existsSync(join(folder, name)));
  if (present.length < 2) return present[0] ?? null;
  throw new SteptoneError({
    code: 'usage',
    expected: 'one session file in the folder',
    found: present.join(' and '),
    where: folder,
    nextStep: `name the one you mean: ${join(folder, present[0])}`,
  });
}

function readSessionFile(path: string): SessionFile {
  return parseSessionFile({ fileName: path, text: readText(path) });
}

/** Files of the folder itself, and of the folders that patterns name. */
function filesBeside({ folder, input }: { folder: string; input: SessionInput }): string[] {
  const inside = [...new Set(['.', ...filesNamed(input).map((file) => posix.dirname(file))])].filter((name) =>
    existsSync(join(folder, name)),
  );
  return inside.flatMap((name) =>
    entriesOf(join(folder, name))
      .filter((entry) => entry.isFile() || entry.isSymbolicLink())
      .map((entry) => posix.join(name, entry.name)),
  );
}

function filesNamed(input: SessionInput): string[] {
  return (input.recordings ?? []).map((entry) => (typeof entry === 'string' ? entry : entry.file));
}

function entriesOf(folder: string): Dirent[] {
  try {
    return readdirSync(folder, { withFileTypes: true });
  } catch {
    throw new SteptoneError({
      code: 'file-missing',
      expected: 'a folder that can be read',
      found: 'a refusal by the system',
      where: folder,
      nextStep: 'check who may read it, or copy the recordings to another folder',
    });
  }
}

/** Channels of the first recording that can be read; nothing where none can, so that the fault is told where it is met. */
function channelCountOf({ folder, files }: { folder: string; files: readonly string[] }): number | undefined {
  const wavs = files.filter((name) => WAV_EXTENSIONS.includes(extname(name).toLowerCase()));
  for (const file of wavs) {
    try {
      const source = fileSource(join(folder, file));
      const { channelCount } = openWav(source);
      source.close();
      return channelCount;
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
    }
  }
  return undefined;
}
