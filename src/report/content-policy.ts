import type { ReportAssets } from './report-assets.ts';

/** Nothing may be fetched, sent or run but the scripts that the page brings. */
export function contentPolicy(assets: ReportAssets): string {
  const scripts = reportScripts(assets).join(' ');
  return `default-src 'none'; script-src ${scripts}; style-src 'unsafe-inline'; img-src data: blob:; connect-src 'none'; base-uri 'none'; form-action 'none'`;
}

/** The scripts of a report as a policy names them; a page that shows reports has to let them run too. */
export function reportScripts({ plotting, script, sha256Base64 }: ReportAssets): string[] {
  return [plotting.sha256Base64, sha256Base64(script)].map((hash) => `'sha256-${hash}'`);
}
