import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { newSession } from '../../src/model/new-session.ts';
import { SHEETS } from '../../src/report/sheets.ts';
import { benchSheet } from '../../src/tones/bench-sheet/bench-sheet.ts';
import { stickFiles } from '../../src/tones/stick-files.ts';
import { describeWith } from '../outside-programs.ts';
import { exampleResults } from '../report/example-results.ts';
import { PageOpener } from './browser.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const files = [44_100, 48_000].flatMap(stickFiles);
const settings = [10, 14, 18, 22, 26, 30, 34, 38];
const job = { name: 'A car', settings: '10-38/4', channels: '2', calibration: 'none' };
const taps = 'front-left, front-right, rear-left, rear-right, dash-left, dash-right, subwoofer';

/** Each sheet, and the sides of paper that it is meant for: the bench sheet is printed on both. */
const SIDES: readonly (readonly [string, string, number])[] = [
  ...SHEETS.map(
    ({ fileName, render }) =>
      [fileName, render(exampleResults()), fileName === 'hand-over-sheet.html' ? 2 : 1] as const,
  ),
  ['bench sheet without names', benchSheet({ settings, files }), 2],
  ['bench sheet of seven taps', benchSheet({ session: newSession({ level: '', ...job, taps }), files }), 2],
];

describeWith(['chromium', 'pdftotext'], 'the sheets on paper', () => {
  const opener = new PageOpener();
  beforeAll(() => opener.start());
  afterAll(() => opener.stop());

  it.each(SIDES)(
    '%s: as many sides as meant on A4 and Letter, no complaint, no rule of axe-core broken.',
    async (_, html, sides) => {
      const { page, complaints } = await opener.open(html, { width: 800, height: 1100 });
      for (const format of ['A4', 'Letter']) {
        expect(sidesOf(await page.pdf({ format, preferCSSPageSize: true })), format).toBe(sides);
      }
      expect(await page.evaluate('document.documentElement.scrollWidth <= innerWidth')).toBe(true);
      await page.setViewportSize({ width: 390, height: 844 });
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(390);
      expect(complaints).toEqual([]);
      await page.evaluate(axe);
      const broken = await page.evaluate(
        'axe.run(document).then(({ violations }) => violations.map(({ id }) => id))',
      );
      expect(broken).toEqual([]);
      await page.close();
    },
  );
});

/** pdftotext ends each page by a form feed. */
function sidesOf(pdf: Buffer): number {
  const { stdout } = spawnSync('pdftotext', ['-', '-'], { input: pdf, encoding: 'utf8' });
  return stdout.split('\f').length - 1;
}
