import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { packageFolder, toolVersion } from '../cli/package-folder.ts';
import { readReportAssets } from '../cli/report-assets.ts';
import { reportScripts } from '../src/report/content-policy.ts';
import { embeddedJson } from '../src/report/html.ts';

/** Writes `dist/steptone.html`: the page for a job, with everything that it needs inside. */
const here = join(packageFolder(), 'report-template', 'job');
const out = join(packageFolder(), 'dist');

const [script, worker] = await Promise.all([bundled('main.tsx'), bundled('work/worker.ts')]);
const { sha256Base64, ...assets } = readReportAssets();
const sources = [...reportScripts({ sha256Base64, ...assets }), hashOf(script), 'data:'];
const policy = [
  "default-src 'none'",
  // data: is the only address from which a browser takes an audio worklet of a page on the disk.
  // The kernels are WebAssembly; without the word the plain loops would serve, half as fast.
  `script-src ${sources.join(' ')} 'wasm-unsafe-eval'`,
  'worker-src blob:',
  "style-src 'unsafe-inline'",
  'img-src data: blob:',
  'media-src blob:',
  "connect-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');
const parts: Readonly<Record<string, string>> = {
  policy,
  style: `${beginningOf(assets.style)}${read('job.css')}`,
  assets: embeddedJson(assets).text,
  worker: embeddedJson(worker).text,
  script,
};
mkdirSync(out, { recursive: true });
writeFileSync(
  join(out, 'steptone.html'),
  read('job.html').replace(/\{\{(\w+)\}\}/g, (_, name: string) => parts[name]),
);

/** What the pages of report and job have in common, as marked in the report's style. */
function beginningOf(style: string): string {
  const marked = /\/\* The page of a job begins.*?\*\/\n([\s\S]*?)\/\* The report alone/.exec(style);
  if (marked === null) throw new Error('page.css does not mark what both pages share');
  return marked[1];
}

async function bundled(entry: string): Promise<string> {
  const { outputFiles } = await build({
    entryPoints: [join(here, entry)],
    bundle: true,
    write: false,
    minify: true,
    format: 'iife',
    target: 'es2023',
    charset: 'utf8',
    legalComments: 'inline',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    // As Node takes it: its other entry has no default.
    alias: { wavefile: 'wavefile/dist/wavefile.js' },
    define: { STEPTONE_VERSION: JSON.stringify(toolVersion()) },
  });
  if (process.argv.includes('--sizes')) console.log(entry, outputFiles[0].text.length);
  return outputFiles[0].text.replaceAll('</script', '<\\/script');
}

function hashOf(text: string): string {
  return `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`;
}

function read(file: string): string {
  return readFileSync(join(here, file), 'utf8');
}
