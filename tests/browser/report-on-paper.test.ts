import { spawnSync } from 'node:child_process';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { renderReport } from '../../src/report/render-report.ts';
import { describeWith } from '../outside-programs.ts';
import { exampleResults } from '../report/example-results.ts';
import { PageOpener } from './browser.ts';
import { assets, WIDE } from './report-setup.ts';

/** A5 between margins of 12 mm, at 96 pixels an inch: the example's tables are narrower than a radio's of large amplifiers. */
const NARROW_PAGE_PIXELS = 520;

describeWith(['chromium', 'pdftotext'], 'the report on paper', () => {
  const opener = new PageOpener();
  let page: Page;
  beforeAll(async () => {
    await opener.start();
    ({ page } = await opener.open(renderReport(exampleResults(), assets), WIDE));
  });
  afterAll(() => opener.stop());

  it.each(['A4', 'Letter'] as const)(
    'has every section on %s, and every picture in vectors on one page',
    async (format) => {
      // What is found and advised names pictures, too; here the names are looked for where the pictures are.
      await page.addStyleTag({ content: '#advice > div, #findings > div { display: none }' });
      const pages = pagesOf(await page.pdf({ format }));
      const text = pages.join('\n');
      // How numbers were got is for the screen.
      const headings = await page.locator('section:not(#methods) > h2').allTextContents();
      expect(headings.length).toBeGreaterThan(8);
      expect(headings.map(unspaced).filter((heading) => !unspaced(text).includes(heading))).toEqual([]);
      // A picture is whole where as many axes stand on its page as the pictures with their headings there have.
      const pictures: { title: string; axes: number }[] = await page.locator('figure').evaluateAll((all) =>
        all.map((figure) => ({
          title: figure.querySelector('h3').textContent,
          axes: figure.querySelectorAll('.plot > .still, .plot > .in-volts > .still').length,
        })),
      );
      const axis = /Frequency,Hz|Volumesetting(?!s)|Drive,dBFS|VoltsRMS/g;
      const whole = pages.map(unspaced).map((one) => {
        const here = pictures.filter(({ title }) => one.includes(unspaced(title)));
        return {
          expected: here.reduce((sum, { axes }) => sum + axes, 0),
          found: one.match(axis)?.length ?? 0,
          here,
        };
      });
      expect(whole.flatMap(({ here }) => here)).toHaveLength(pictures.length);
      for (const { expected, found } of whole) expect(found).toBeGreaterThanOrEqual(expected);
    },
  );

  it.each(['A4', 'Letter'] as const)(
    'has answers and all settings on the first page of %s, and no heading alone at the foot of any',
    async (format) => {
      const pages = pagesOf(await page.pdf({ format })).filter((text) => text.trim() !== '');
      const rows: string[] = await page.locator('#volts tbody th').allTextContents();
      const first = unspaced(pages[0]);
      expect(rows.filter((row) => !first.includes(unspaced(row)))).toEqual([]);
      const headings = (await page.locator('h2, h3, h4').allTextContents()).map(unspaced);
      const alone = pages.map(lastLine).filter((line) => headings.includes(line));
      expect(alone).toEqual([]);
      // A lead of a picture's section belongs to the picture.
      const leads = (await page.locator('#pictures .lead').allTextContents()).map(unspaced);
      expect(pages.map(lastLine).filter((line) => leads.some((lead) => lead.endsWith(line)))).toEqual([]);
    },
  );

  it('keeps tables of readings within their columns', async () => {
    await page.emulateMedia({ media: 'print' });
    const sides = page.viewportSize()!;
    await page.setViewportSize({ width: NARROW_PAGE_PIXELS, height: 1000 });
    const overhang = await page
      .locator('.readings')
      .evaluateAll((all) => all.map((one) => one.scrollWidth - one.clientWidth));
    await page.setViewportSize(sides);
    await page.emulateMedia({ media: null });
    expect(overhang.length).toBeGreaterThan(1);
    expect(Math.max(...overhang)).toBeLessThanOrEqual(1);
  });

  it('keeps a picture off the edge of a page', async () => {
    await page.emulateMedia({ media: 'print' });
    const rules: string[] = await page
      .locator('figure')
      .evaluateAll((all) =>
        all.map((figure) => figure.ownerDocument.defaultView.getComputedStyle(figure).breakInside),
      );
    expect(new Set(rules)).toEqual(new Set(['avoid']));
  });
});

function pagesOf(pdf: Buffer): string[] {
  const { stdout } = spawnSync('pdftotext', ['-', '-'], { input: pdf, encoding: 'utf8', maxBuffer: 1 << 26 });
  return stdout.split('\f');
}

function lastLine(page: string): string {
  const lines = page.split('\n').map(unspaced);
  return lines.findLast((line) => line !== '') ?? '';
}

function unspaced(text: string): string {
  return text.replace(/\s/g, '');
}
