import { createHash } from 'node:crypto';
import { basename } from 'node:path';
import type { ByteSource } from '../src/audio/byte-source.ts';
import { openWav } from '../src/audio/read-wav.ts';
import type { Sound } from '../src/audio/sound.ts';
import { photoFilesOf } from '../src/model/bay-notes.ts';
import { SteptoneError } from '../src/model/errors.ts';
import type { Results } from '../src/model/results.ts';
import { fileSource } from './files.ts';
import { pathInside } from './inside-folder.ts';
import type { LoadedSession } from './load-session.ts';
import type { Progress } from './terminal.ts';

export type Fingerprint = Results['inputs'][number];

export interface OpenRecordings {
  /**
   * Opens a file of the session by the name it has there.
   *
   * @throws SteptoneError where it is missing, not a WAV, or has fewer channels than the session says
   */
  open(file: string): Sound;
  /** Of one file of the session; undefined where it cannot be opened. */
  fingerprint(file: string): Fingerprint | undefined;
  /**
   * Of the documents, then of all files of the session that are there.
   *
   * @param known those of files that other threads have read already
   */
  fingerprints(progress: Progress, known?: ReadonlyMap<string, Fingerprint>): Fingerprint[];
  close(): void;
}

const HASH_BLOCK_BYTES = 1 << 20;

/** The files of a session, each opened once and kept open until `close`. */
export function openRecordings({ session, folder, documents }: LoadedSession): OpenRecordings {
  const sources = new Map<string, ByteSource & { close(): void }>();
  const { calibration, recordings } = session;

  function sourceOf(file: string): ByteSource {
    const known = sources.get(file);
    if (known !== undefined) return known;
    // Under its name in the session, so that results do not depend on where the folder is.
    const source = { ...fileSource(pathInside(folder, file)), name: file };
    sources.set(file, source);
    return source;
  }

  function fingerprint(file: string): Fingerprint | undefined {
    const source = ifPresent(() => sourceOf(file));
    return source === undefined
      ? undefined
      : { file, sha256: sha256Of(source), byteLength: source.byteLength };
  }

  return {
    open(file) {
      const sound = openWav(sourceOf(file));
      const recording = recordings.find((candidate) => candidate.file === file);
      if (recording !== undefined) checkChannels({ channels: recording.channels, sound });
      return sound;
    },
    fingerprint,
    fingerprints(progress, known) {
      const tone = calibration.kind === 'tone' ? [calibration.file] : [];
      const sounds = recordings.map(({ file }) => file);
      const files = [...new Set([...tone, ...sounds, ...photoFilesOf(session)])];
      const ofFiles = files.flatMap((file, i) => {
        progress(i, files.length, `fingerprint of ${file}`);
        return known?.get(file) ?? fingerprint(file) ?? [];
      });
      return [...documents.map(({ name, path }) => ({ ...fileFingerprint(path), file: name })), ...ofFiles];
    },
    close() {
      for (const source of sources.values()) source.close();
    },
  };
}

/** Fingerprint of a file that is no recording, under the last part of its name. */
export function fileFingerprint(path: string): Fingerprint {
  const source = fileSource(path);
  try {
    return { file: basename(path), sha256: sha256Of(source), byteLength: source.byteLength };
  } finally {
    source.close();
  }
}

function checkChannels({ channels, sound }: { channels: readonly (string | null)[]; sound: Sound }): void {
  const needed = channels.findLastIndex((tapId) => tapId !== null) + 1;
  if (sound.channelCount >= needed) return;
  throw new SteptoneError({
    code: 'session-field',
    expected: `${needed} channels (${channels.join(', ')})`,
    found: `${sound.channelCount}`,
    where: sound.name,
    nextStep: 'correct the channels of this recording in the session file, or with --channels',
  });
}

function ifPresent(work: () => ByteSource): ByteSource | undefined {
  try {
    return work();
  } catch (error) {
    if (error instanceof SteptoneError) return undefined;
    throw error;
  }
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
