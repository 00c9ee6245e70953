import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { deflateRawSync } from 'node:zlib';
import { base85 } from '../src/report/base85.ts';
import {
  type PackedScript,
  PLOTLY_FILE,
  REPORT_TEMPLATE_FILES,
  type ReportAssets,
} from '../src/report/report-assets.ts';
import { packageFolder } from './package-folder.ts';

/** What the report is made of: the page's template from this package, the plotting library from its own. */
export function readReportAssets(plottingFile = PLOTLY_FILE): ReportAssets {
  const template = (file: string) => readFileSync(join(packageFolder(), 'report-template', file), 'utf8');
  const { pageHtml, style, script } = REPORT_TEMPLATE_FILES;
  return {
    pageHtml: template(pageHtml),
    style: template(style),
    script: template(script),
    plotting: packed(readFileSync(createRequire(import.meta.url).resolve(plottingFile))),
    sha256Base64,
  };
}

/** Level 9 takes 0.16 s for the plotting library. */
function packed(script: Buffer): PackedScript {
  return {
    deflatedBase85: base85(deflateRawSync(script, { level: 9 })),
    sha256Base64: sha256Base64(script),
  };
}

function sha256Base64(bytes: string | Buffer): string {
  return createHash('sha256').update(bytes).digest('base64');
}
