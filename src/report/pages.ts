import type { Results } from '../model/results.ts';
import { REPORT_FILE } from './page-files.ts';
import { type PhotoImages, pageWithPhotos } from './photos.ts';
import { renderReport } from './render-report.ts';
import type { ReportAssets } from './report-assets.ts';
import { SHEETS } from './sheets.ts';

/** The report and the sheets to print, by file name; each holds as many of the photos as it has room for. */
export function renderPages(
  results: Results,
  assets: ReportAssets,
  images: PhotoImages,
): Readonly<Record<string, string>> {
  const sheets = SHEETS.map(({ fileName, render }) => [
    fileName,
    pageWithPhotos((shown) => render(results, shown), images),
  ]);
  return {
    [REPORT_FILE]: pageWithPhotos((shown) => renderReport(results, assets, shown), images),
    ...Object.fromEntries(sheets),
  };
}
