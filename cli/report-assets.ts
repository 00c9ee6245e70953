import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { PLOTLY_FILE, REPORT_TEMPLATE_FILES, type ReportAssets } from '../src/report/report-assets.ts';
import { packageFolder } from './package-folder.ts';

/** What the report is made of: the page's template from this package, the plotting library from its own. */
export function readReportAssets(): ReportAssets {
  const template = (file: string) => readFileSync(join(packageFolder(), 'report-template', file), 'utf8');
  const { pageHtml, style, script } = REPORT_TEMPLATE_FILES;
  return {
    pageHtml: template(pageHtml),
    style: template(style),
    script: template(script),
    plotly: readFileSync(createRequire(import.meta.url).resolve(PLOTLY_FILE), 'utf8'),
    sha256Base64: (text) => createHash('sha256').update(text, 'utf8').digest('base64'),
  };
}
