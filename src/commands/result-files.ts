import type { Results } from '../model/results.ts';
import type { PhotoImages } from '../report/photos.ts';
import type { ReportAssets } from '../report/report-assets.ts';

export const RESULTS_FILE = 'results.json';

/** Report, sheets and results as they are written, by name. */
export async function resultFiles(
  results: Results,
  assets: ReportAssets,
  images: PhotoImages,
): Promise<Readonly<Record<string, string>>> {
  const { renderPages } = await import('../report/pages.ts');
  return { ...renderPages(results, assets, images), [RESULTS_FILE]: `${JSON.stringify(results)}\n` };
}
