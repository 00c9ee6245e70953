import { type LoadedSession, loadSession as loadFound } from '../src/commands/load-session.ts';
import { diskFile } from './disk-folder.ts';
import { findSession } from './find-session.ts';

interface SessionOptions {
  readonly target: string;
  readonly settings?: string | undefined;
  readonly channels?: string | undefined;
  readonly equipmentFile?: string | undefined;
}

/**
 * The session of a folder, a session file or a single WAV on the disk, with its defaults applied.
 *
 * @throws SteptoneError as `findSession` and the commands' `loadSession` do
 */
export function loadSession({ target, settings, channels, equipmentFile }: SessionOptions): LoadedSession {
  return loadFound(findSession(target), {
    settings,
    channels,
    ...(equipmentFile === undefined ? {} : { equipment: diskFile(equipmentFile) }),
  });
}
