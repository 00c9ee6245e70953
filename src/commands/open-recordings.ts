import { openWav } from '../audio/read-wav.ts';
import type { Sound } from '../audio/sound.ts';
import { SteptoneError } from '../model/errors.ts';
import { photoFilesOf } from '../model/photo-files.ts';
import { counted } from '../words/figures.ts';
import { type Fingerprint, fingerprintOf, hashedAlong, type Sha256 } from './fingerprint.ts';
import { type OpenFile, withFile } from './job-folder.ts';
import type { LoadedSession } from './load-session.ts';
import type { Progress } from './progress.ts';

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

/**
 * The files of a session, each opened once and kept open until `close`.
 *
 * @param hashAlong whether fingerprints are asked for, each once, after the recordings have been read
 */
export function openRecordings(
  { session, folder, documents }: LoadedSession,
  { sha256, hashAlong = false }: { sha256: () => Sha256; hashAlong?: boolean | undefined },
): OpenRecordings {
  const sources = new Map<string, Source>();
  const { calibration, recordings } = session;

  function sourceOf(file: string): Source {
    const known = sources.get(file);
    if (known !== undefined) return known;
    // Under its name in the session, so that results do not depend on where the folder is.
    const opened = { ...folder.open(file), name: file };
    const source = hashAlong
      ? hashedAlong(opened, sha256)
      : { ...opened, fingerprint: () => fingerprintOf({ source: opened, file, sha256 }) };
    sources.set(file, source);
    return source;
  }

  function fingerprint(file: string): Fingerprint | undefined {
    const source = ifPresent(() => sourceOf(file));
    return source?.fingerprint(file);
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
      const ofDocuments = documents.map(({ name, ...place }) =>
        withFile(place, (source) => fingerprintOf({ source, file: name, sha256 })),
      );
      return [...ofDocuments, ...ofFiles];
    },
    close() {
      for (const source of sources.values()) source.close();
    },
  };
}

type Source = OpenFile & { fingerprint(file: string): Fingerprint };

function checkChannels({ channels, sound }: { channels: readonly (string | null)[]; sound: Sound }): void {
  const needed = channels.findLastIndex((tapId) => tapId !== null) + 1;
  if (sound.channelCount >= needed) return;
  throw new SteptoneError({
    code: 'session-field',
    expected: `${counted(needed, 'channel')} (${channels.join(', ')})`,
    found: `${sound.channelCount}`,
    where: sound.name,
    nextStep: 'correct this recording’s channels in the session file or with --channels',
  });
}

function ifPresent(work: () => Source): Source | undefined {
  try {
    return work();
  } catch (error) {
    if (error instanceof SteptoneError) return undefined;
    throw error;
  }
}
