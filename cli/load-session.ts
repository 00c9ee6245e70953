import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, extname, join, posix, resolve } from 'node:path';
import { openWav } from '../src/audio/read-wav.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { type FieldPath, fieldName } from '../src/model/field-path.ts';
import { resolveSession } from '../src/model/resolve-session.ts';
import type { Session } from '../src/model/session.ts';
import { parseSessionFile, type SessionFile } from '../src/model/session-file.ts';
import type { SessionInput } from '../src/model/session-input.ts';
import { fileSource } from './files.ts';

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
/** A session with a thousand recordings stays below a tenth of this; anything larger is another kind of file. */
const MOST_SESSION_BYTES = 1 << 20;

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
    ...(channels === undefined ? {} : { channels: channels.split(',').map((name) => name.trim()) }),
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
    channelCount: channelCountOf({ folder, folderFiles }),
  });
  return { session, folder, sessionFile };
}

function readTarget(target: string): { folder: string; sessionFile: string | null; written: SessionFile } {
  if (!existsSync(target)) {
    throw new SteptoneError({
      code: 'file-missing',
      expected: 'a folder of recordings, a session file or a WAV',
      found: 'nothing there',
      where: target,
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
  const folder = dirname(resolve(target));
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
  const { size } = statSync(path);
  if (size > MOST_SESSION_BYTES) {
    throw new SteptoneError({
      code: 'session-syntax',
      expected: 'a session file of at most 1 MiB',
      found: `${size} bytes`,
      where: path,
      likelyCause: 'it is another kind of file',
      nextStep: 'name the session file or the folder of recordings',
    });
  }
  return parseSessionFile({ fileName: path, text: readFileSync(path, 'utf8') });
}

/** Files of the folder itself, and of the folders that patterns name. */
function filesBeside({ folder, input }: { folder: string; input: SessionInput }): string[] {
  const named = (input.recordings ?? []).map((entry) =>
    posix.dirname(typeof entry === 'string' ? entry : entry.file),
  );
  const inside = [...new Set(['.', ...named])].filter((name) => existsSync(join(folder, name)));
  return inside.flatMap((name) =>
    readdirSync(join(folder, name), { withFileTypes: true })
      .filter((entry) => entry.isFile() || entry.isSymbolicLink())
      .map((entry) => posix.join(name, entry.name)),
  );
}

/** Channels of the first recording that can be read; nothing where none can, so that the fault is told where it is met. */
function channelCountOf({
  folder,
  folderFiles,
}: {
  folder: string;
  folderFiles: readonly string[];
}): number | undefined {
  for (const file of folderFiles.filter((name) => WAV_EXTENSIONS.includes(extname(name).toLowerCase()))) {
    const source = fileSource(join(folder, file));
    try {
      return openWav(source).channelCount;
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
    } finally {
      source.close();
    }
  }
  return undefined;
}
