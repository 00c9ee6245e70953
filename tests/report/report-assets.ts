import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { PLOTLY_FILE, REPORT_TEMPLATE_FILES, type ReportAssets } from '../../src/report/report-assets.ts';

/** The page's own files and the real plotting library. */
export function reportAssets(): ReportAssets {
  const template = (file: string) =>
    readFileSync(new URL(`../../report-template/${file}`, import.meta.url), 'utf8');
  return {
    pageHtml: template(REPORT_TEMPLATE_FILES.pageHtml),
    style: template(REPORT_TEMPLATE_FILES.style),
    script: template(REPORT_TEMPLATE_FILES.script),
    plotly: readFileSync(createRequire(import.meta.url).resolve(PLOTLY_FILE), 'utf8'),
    sha256Base64: (text) => createHash('sha256').update(text, 'utf8').digest('base64'),
  };
}
