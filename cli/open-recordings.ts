import { createHash } from 'node:crypto';
import { resolve } from 'node:path';
import type { ByteSource } from '../src/audio/byte-source.ts';
import { openWav } from '../src/audio/read-wav.ts';
import type { Sound } from '../src/audio/sound.ts';
import { SteptoneError } from '../src/model/errors.ts';
import type { Recording } from '../src/model/session.ts';
import { fileSource } from './files.ts';
import type { LoadedSession } from './load-session.ts';
import type { Progress } from './terminal.ts';

export interface OpenRecordings {
  readonly recordings: readonly { readonly recording: Recording; open(): Sound }[];
  readonly inputs: readonly { readonly file: string; readonly sha256: string; readonly byteLength: number }[];
  /** Recordings that cannot be read, and why. */
  readonly leftOut: readonly { readonly file: string; readonly text: string }[];
  close(): void;
}

const HASH_BLOCK_BYTES = 1 << 20;

/**
 * Opens the recordings of a session and takes their fingerprints. One that is missing, damaged or has fewer channels
 * than it should is left out and named.
 *
 * @throws SteptoneError that of the first recording, where none of the radio can be read.
 */
export function openRecordings(
  { session, folder, sessionFile }: LoadedSession,
  progress: Progress,
): OpenRecordings {
  const sources: (ByteSource & { close(): void })[] = [];
  const close = () =>
    sources.forEach((source) => {
      source.close();
    });
  const open = (file: string) => {
    const source = fileSource(resolve(folder, file));
    sources.push(source);
    // Under its name in the session, so that results do not depend on where the folder is.
    return { ...source, name: file };
  };
  const failures: { file: string; error: SteptoneError }[] = [];
  const readable = session.recordings.flatMap((recording, i) => {
    progress(i, session.recordings.length, `reading ${recording.file}`);
    try {
      const source = open(recording.file);
      checkChannels({ recording, sound: openWav(source) });
      return [{ recording, source }];
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
      failures.push({ file: recording.file, error });
      return [];
    }
  });
  if (!readable.some(({ recording }) => recording.kind === 'takes')) {
    close();
    throw failures[0].error;
  }
  const tone = session.calibration.kind === 'tone' ? [open(session.calibration.file)] : [];
  const others = sessionFile === null ? [] : [open(sessionFile)];
  const hashed = [...readable.map(({ source }) => source), ...tone, ...others];
  return {
    recordings: readable.map(({ recording, source }) => ({ recording, open: () => openWav(source) })),
    inputs: hashed.map((source) => ({
      file: source.name,
      sha256: sha256Of(source),
      byteLength: source.byteLength,
    })),
    leftOut: failures.map(({ file, error }) => ({ file, text: `Left out. ${error.message}` })),
    close,
  };
}

function checkChannels({ recording, sound }: { recording: Recording; sound: Sound }): void {
  const needed = recording.channels.findLastIndex((tapId) => tapId !== null) + 1;
  if (sound.channelCount >= needed) return;
  throw new SteptoneError({
    code: 'session-field',
    expected: `${needed} channels (${recording.channels.join(', ')})`,
    found: `${sound.channelCount}`,
    where: recording.file,
    nextStep: 'correct channels for this recording in the session file',
  });
}

function sha256Of(source: ByteSource): string {
  const hash = createHash('sha256');
  const block = new Uint8Array(HASH_BLOCK_BYTES);
  for (let offset = 0; offset < source.byteLength; offset += block.length) {
    const count = source.read(offset, block);
    if (count === 0) break;
    hash.update(block.subarray(0, count));
  }
  return hash.digest('hex');
}
