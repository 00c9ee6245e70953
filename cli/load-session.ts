import { type Dirent, existsSync, readdirSync } from 'node:fs';
import { basename, extname, join, posix } from 'node:path';
import { openWav } from '../src/audio/read-wav.ts';
import { SteptoneError } from '../src/model/errors.ts';
import type { FieldPath } from '../src/model/field-path.ts';
import { resolveSession } from '../src/model/resolve-session.ts';
import type { Session } from '../src/model/session.ts';
import type { SessionInput } from '../src/model/session-input.ts';
import { fileSource } from './files.ts';
import { findSession, WAV_EXTENSIONS } from './find-session.ts';
import { pathInside } from './inside-folder.ts';
import { readEquipment } from './read-equipment.ts';

export interface LoadedSession {
  readonly session: Session;
  /** Where its files are. */
  readonly folder: string;
  /** What was read beside the recordings: the session file and the equipment's, by name and place. */
  readonly documents: readonly { readonly name: string; readonly path: string }[];
}

/**
 * The session of a folder, a session file or a single WAV, with its defaults applied. What the command line says comes
 * before what the file says.
 *
 * @throws SteptoneError as `findSession`, `readEquipment` and `resolveSession` do
 */
export function loadSession({
  target,
  settings,
  channels,
  equipmentFile,
}: {
  target: string;
  settings?: string;
  channels?: string;
  equipmentFile?: string;
}): LoadedSession {
  const { folder, sessionFile, written, alone } = findSession(target);
  if (channels !== undefined) checkChannelsCount(written.input);
  const equipment = equipmentOf({ written: written.input, folder, equipmentFile, locate: written.locate });
  const input: SessionInput = {
    ...written.input,
    ...(equipment === null ? {} : { equipment: readEquipment(equipment.path) }),
    ...(settings === undefined ? {} : { settings }),
    ...(channels === undefined ? {} : { channels: channels.split(',').map((name) => name.trim() || '-') }),
  };
  const fromFlag = { settings, channels };
  const locate = (path: FieldPath) => {
    const flag = path[0] === 'settings' || path[0] === 'channels' ? path[0] : undefined;
    return flag !== undefined && fromFlag[flag] !== undefined ? `--${flag}` : written.locate(path);
  };
  const folderFiles = alone ? [] : filesBeside({ folder, input });
  const session = resolveSession(input, {
    folderFiles,
    locate,
    channelCount: channelCountOf({ folder, files: [...filesNamed(input), ...folderFiles] }),
  });
  const own = sessionFile === null ? [] : [{ name: sessionFile, path: join(folder, sessionFile) }];
  return { session, folder, documents: [...own, ...(equipment === null ? [] : [equipment])] };
}

/** A flag that changes nothing would be taken for one that did. */
function checkChannelsCount({ recordings = [] }: SessionInput): void {
  const own = recordings.filter((entry) => typeof entry !== 'string' && entry.channels !== undefined);
  if (recordings.length === 0 || own.length < recordings.length) return;
  throw new SteptoneError({
    code: 'usage',
    expected: 'a session whose recordings leave the channels open',
    found: 'channels with every recording',
    where: '--channels',
    nextStep: 'change them in the session file, and leave --channels out',
  });
}

/** Where the equipment stands that has a file of its own. */
function equipmentOf({
  written,
  folder,
  equipmentFile,
  locate,
}: {
  written: SessionInput;
  folder: string;
  equipmentFile: string | undefined;
  locate: (path: FieldPath) => string;
}): LoadedSession['documents'][number] | null {
  if (equipmentFile !== undefined) return { name: basename(equipmentFile), path: equipmentFile };
  const name = written.equipmentFile;
  if (name === undefined) return null;
  if (written.equipment == null) return { name, path: pathInside(folder, name) };
  throw new SteptoneError({
    code: 'session-field',
    expected: 'either equipment or equipmentFile',
    found: 'both',
    where: locate(['equipmentFile']),
    nextStep: 'take one of them out',
  });
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
      const source = fileSource(pathInside(folder, file));
      const { channelCount } = openWav(source);
      source.close();
      return channelCount;
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
    }
  }
  return undefined;
}
