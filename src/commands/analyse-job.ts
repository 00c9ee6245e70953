import type { Results } from '../model/results.ts';
import type { LoadedSession } from './load-session.ts';
import type { ReadPhotos } from './read-photos.ts';
import { resultFiles } from './result-files.ts';
import type { Shell } from './shell.ts';
import { withRecordings } from './with-recordings.ts';

interface AnalysedJob {
  readonly results: Results;
  /** Report, sheets and results, by name. */
  readonly files: Readonly<Record<string, string>>;
  /** What the pages show of the photos. */
  readonly photos: ReadPhotos;
}

/**
 * Measures the recordings of a session, and makes report, sheets and results.
 *
 * @throws SteptoneError for anything in session or recordings that the user has to put right
 */
export async function analyseJob(loaded: LoadedSession, shell: Shell): Promise<AnalysedJob> {
  const results = await analysed(loaded, shell);
  const { readPhotos } = await import('./read-photos.ts');
  const photos = readPhotos(loaded);
  return {
    results,
    files: await resultFiles({ results, images: photos.images }, shell),
    photos,
  };
}

function analysed(loaded: LoadedSession, shell: Shell): Promise<Results> {
  const { session } = loaded;
  const { progress, toolVersion } = shell;
  return withRecordings(loaded, { ...shell, hashAlong: true }, async (recordings) => {
    progress(0, session.recordings.length, 'the recordings');
    const [ahead, { analyse }] = await Promise.all([
      shell.readAhead({ loaded, recordings, withFingerprints: true }),
      // What comes after it is loaded while another thread reads.
      import('../analyse.ts'),
      import('../report/pages.ts'),
    ]);
    const { open } = recordings;
    const results = analyse({ session, open, ahead, toolVersion, inputs: [], onProgress: progress });
    return { ...results, inputs: recordings.fingerprints(progress, ahead?.fingerprints) };
  });
}
