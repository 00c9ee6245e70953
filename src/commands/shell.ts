import type { ReadAhead } from '../measure/measure-session.ts';
import type { ReportAssets } from '../report/report-assets.ts';
import type { Fingerprint, Sha256 } from './fingerprint.ts';
import type { LoadedSession } from './load-session.ts';
import type { OpenRecordings } from './open-recordings.ts';
import type { Progress } from './progress.ts';

/** What several threads have read, with the fingerprints of the files. */
export interface ReadInThreads extends ReadAhead {
  readonly fingerprints: ReadonlyMap<string, Fingerprint>;
}

/** What a command needs of whoever runs it, the terminal or the page. */
export interface Shell {
  readonly toolVersion: string;
  readonly sha256: () => Sha256;
  readonly progress: Progress;
  /** Reads recordings in several threads at once; undefined where that does not pay or cannot be had. */
  readonly readAhead: (of: {
    loaded: LoadedSession;
    recordings: OpenRecordings;
    withFingerprints: boolean;
  }) => Promise<ReadInThreads | undefined>;
  readonly reportAssets: () => ReportAssets;
}
