import { openRecordings } from '../src/commands/open-recordings.ts';
import { type FileAnswer, readOne } from '../src/commands/read-one.ts';
import type { RecorderKnowledge } from '../src/measure/recorder/measure-recorder.ts';
import type { Session } from '../src/model/session.ts';
import { diskFolder } from './disk-folder.ts';
import { sha256 } from './sha256.ts';

/** What every thread is given; `next` is shared by all and counts the files that are taken. */
export interface SharedWork {
  readonly session: Session;
  readonly folder: string;
  readonly files: readonly string[];
  readonly next: Int32Array;
  readonly withFingerprints: boolean;
}

/** Reads the next file that no thread has taken; null where there is none left. */
export function readNext(work: SharedWork, recorder: RecorderKnowledge): FileAnswer | null {
  const { session, files, next, withFingerprints } = work;
  const file = files[Atomics.add(next, 0, 1)];
  if (file === undefined) return null;
  const recordings = openRecordings(
    { session, folder: diskFolder(work.folder), documents: [] },
    { sha256, hashAlong: withFingerprints },
  );
  try {
    return readOne({ file, session, recordings, recorder, withFingerprint: withFingerprints });
  } finally {
    recordings.close();
  }
}
