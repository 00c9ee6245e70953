import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { BrowserContext, Page } from 'puppeteer-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { renderReport } from '../../src/report/render-report.ts';
import { SHEETS } from '../../src/report/sheets.ts';
import { benchSheet } from '../../src/tones/bench-sheet/bench-sheet.ts';
import { stickFiles } from '../../src/tones/stick-files.ts';
import { describeWith } from '../outside-programs.ts';
import { exampleResults } from '../report/example-results.ts';
import { reportAssets } from '../report/report-assets.ts';
import { sharedFirefox } from './shared-firefox.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const PAGES: readonly (readonly [string, string])[] = [
  ['report', renderReport(exampleResults(), reportAssets())],
  ...SHEETS.map(({ fileName, render }) => [fileName, render(exampleResults())] as const),
  ['bench sheet', benchSheet({ settings: [10, 20, 30], files: stickFiles(48_000) })],
];

describeWith(['firefox'], 'report and sheets in Firefox', () => {
  const folder = mkdtempSync(join(tmpdir(), 'steptone-report-firefox-'));
  let context: BrowserContext;
  beforeAll(async () => {
    context = await (await sharedFirefox()).createBrowserContext();
  }, 120_000);
  afterAll(async () => {
    await context?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it.each(PAGES)(
    '%s: breaks no rule of axe-core, complains of nothing, and fits a phone.',
    { timeout: 120_000 },
    async (name, html) => {
      const file = join(folder, 'page.html');
      writeFileSync(file, html);
      const page = await context.newPage();
      const complaints: string[] = [];
      page.on('console', (message) => complaints.push(message.text()));
      page.on('pageerror', (error) => complaints.push(String(error)));
      await page.setViewport({ width: 1280, height: 900 });
      await page.goto(pathToFileURL(file).href);
      await page.evaluate(axe);
      expect(await brokenRules(page)).toEqual([]);
      if (name === 'report') {
        await page.evaluate(`document.querySelector('input[name="shade"][value="dark"]').click()`);
        expect(await brokenRules(page)).toEqual([]);
      }
      for (const width of [390, 320]) {
        await page.setViewport({ width, height: 844 });
        const over = 'document.documentElement.scrollWidth - document.documentElement.clientWidth';
        expect(await page.evaluate(over), `beyond ${width} px`).toBe(0);
      }
      expect(complaints).toEqual([]);
      await page.close();
    },
  );
});

function brokenRules(page: Page): Promise<string[]> {
  return page.evaluate(
    'axe.run(document).then(({ violations }) => violations.map(({ id, nodes }) => id + " " + nodes[0].html.slice(0, 100)))',
  ) as Promise<string[]>;
}
