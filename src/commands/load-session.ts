import { openWav } from '../audio/read-wav.ts';
import { SteptoneError } from '../model/errors.ts';
import type { FieldPath } from '../model/field-path.ts';
import { resolveSession } from '../model/resolve-session.ts';
import type { Session } from '../model/session.ts';
import type { SessionInput } from '../model/session-input.ts';
import { type FoundSession, isWavName } from './find-session.ts';
import { type JobFolder, withFile } from './job-folder.ts';
import { readEquipment } from './read-equipment.ts';

export interface LoadedSession {
  readonly session: Session;
  /** Where its files are. */
  readonly folder: JobFolder;
  /** What was read beside the recordings: the session file and the equipment's, by name and place. */
  readonly documents: readonly SessionDocument[];
}

interface SessionDocument {
  /** What results call it. */
  readonly name: string;
  readonly folder: JobFolder;
  readonly file: string;
}

/**
 * A session that was found, with its defaults applied. What a command was given comes before what the file says.
 *
 * @param given.equipment a file of equipment that comes before the session's own
 * @throws SteptoneError as `readEquipment` and `resolveSession` do
 */
export function loadSession(
  { folder, sessionFile, written, alone }: FoundSession,
  given: {
    settings?: string | undefined;
    channels?: string | undefined;
    equipment?: { folder: JobFolder; file: string };
  } = {},
): LoadedSession {
  const { settings, channels } = given;
  if (channels !== undefined) checkChannelsCount(written.input);
  const equipment =
    given.equipment === undefined
      ? equipmentOf({ written: written.input, folder, locate: written.locate })
      : { name: given.equipment.file, ...given.equipment };
  const input: SessionInput = {
    ...written.input,
    ...(equipment === null ? {} : { equipment: readEquipment(equipment.folder, equipment.file) }),
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
  const own = sessionFile === null ? [] : [{ name: sessionFile, folder, file: sessionFile }];
  return { session, folder, documents: [...own, ...(equipment === null ? [] : [equipment])] };
}

/** A flag that changes nothing would be taken for one that did. */
function checkChannelsCount({ recordings = [] }: SessionInput): void {
  const own = recordings.filter((entry) => typeof entry !== 'string' && entry.channels !== undefined);
  if (recordings.length === 0 || own.length < recordings.length) return;
  throw new SteptoneError({
    code: 'usage',
    expected: 'a session that leaves the channels open',
    found: 'channels for every recording',
    where: '--channels',
    nextStep: 'change them in the session file, and drop --channels',
  });
}

/** Where the equipment stands that has a file of its own. */
function equipmentOf({
  written,
  folder,
  locate,
}: {
  written: SessionInput;
  folder: JobFolder;
  locate: (path: FieldPath) => string;
}): SessionDocument | null {
  const name = written.equipmentFile;
  if (name === undefined) return null;
  if (written.equipment == null) return { name, folder, file: name };
  throw new SteptoneError({
    code: 'session-field',
    expected: 'either equipment or equipmentFile',
    found: 'both',
    where: locate(['equipmentFile']),
    nextStep: 'delete one of them',
  });
}

/** Files of the folder itself, and of the folders that patterns name. */
function filesBeside({ folder, input }: { folder: JobFolder; input: SessionInput }): string[] {
  const inside = new Set(filesNamed(input).flatMap((file) => /^(?:\.\/)*(.+)\/[^/]*$/.exec(file)?.[1] ?? []));
  return [
    ...folder.names(),
    ...[...inside].flatMap((name) => folder.names(name).map((file) => `${name}/${file}`)),
  ];
}

function filesNamed(input: SessionInput): string[] {
  return (input.recordings ?? []).map((entry) => (typeof entry === 'string' ? entry : entry.file));
}

/** Channels of the first recording that can be read; nothing where none can, so that the fault is told where it is met. */
function channelCountOf({
  folder,
  files,
}: {
  folder: JobFolder;
  files: readonly string[];
}): number | undefined {
  for (const file of files.filter(isWavName)) {
    try {
      return withFile({ folder, file }, (source) => openWav(source).channelCount);
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
    }
  }
  return undefined;
}
