import { dirname, join } from 'node:path';
import { clipsJob } from '../src/commands/clips-job.ts';
import type { Progress } from '../src/commands/progress.ts';
import { readResults } from '../src/commands/read-results.ts';
import { diskFile } from './disk-folder.ts';
import { fileSource } from './files.ts';
import type { Outcome } from './outcome.ts';
import { sha256 } from './sha256.ts';
import { writeTogether } from './write-together.ts';

interface ClipsArguments {
  readonly resultsFile: string;
  /** WAV with music; a phrase of the tool's own where absent. */
  readonly programme?: string;
  readonly feed?: string;
  readonly out?: string;
  readonly force: boolean;
}

const DEFAULT_OUT = 'clips';

/**
 * Writes the clips that let a customer hear the missing bass, 24-bit WAV, all or none.
 *
 * @throws SteptoneError for the results, the music, the feed or the folder
 */
export async function clipsCommand(
  { resultsFile, programme, feed, out, force }: ClipsArguments,
  onProgress: Progress,
): Promise<Outcome> {
  const results = readResults(diskFile(resultsFile), { sha256 });
  onProgress(0, 1, 'clips');
  const music = programme === undefined ? null : fileSource(programme);
  try {
    const { feedId, restoredDb, files, what, lines } = clipsJob({ results, music, feedId: feed });
    const folder = out ?? join(dirname(resultsFile), DEFAULT_OUT);
    writeTogether({ folder, files, force });
    return {
      text: lines((file) => join(folder, file)).join('\n'),
      data: { folder, feedId, restoredDb, files: what },
    };
  } finally {
    music?.close();
  }
}
