import type { Results } from '../model/results.ts';
import { resultsText } from '../model/results-file.ts';
import type { PhotoImages } from '../report/photos.ts';
import { textHash } from './fingerprint.ts';
import type { Shell } from './shell.ts';

export const RESULTS_FILE = 'results.json';

/** Report, sheets and results as they are written, by name. */
export async function resultFiles(
  { results, images }: { results: Results; images: PhotoImages },
  { reportAssets, sha256 }: Pick<Shell, 'reportAssets' | 'sha256'>,
): Promise<Readonly<Record<string, string>>> {
  const { renderPages } = await import('../report/pages.ts');
  return {
    ...renderPages(results, reportAssets(), images),
    [RESULTS_FILE]: resultsText(results, textHash(sha256)),
  };
}
