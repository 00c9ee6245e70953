import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { renderReport } from '../../src/report/render-report.ts';
import { describeWith } from '../outside-programs.ts';
import { exampleNotKnown, exampleResults, exampleWithLabel } from '../report/example-results.ts';
import { type OpenPage, PageOpener } from './browser.ts';
import { assets, WIDE } from './report-setup.ts';

const PHONE = { width: 390, height: 844 };
/** A tap and a session whose name would run, were it not text. */
const HOSTILE_NAME = '<script>document.title="run"</script><img src=x onerror="document.title=1">';
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

describeWith(['chromium'], 'the report in a browser', () => {
  const opener = new PageOpener();
  let wide: OpenPage;
  let phone: OpenPage;

  beforeAll(async () => {
    await opener.start();
    wide = await opener.open(renderReport(exampleResults(), assets), WIDE);
    phone = await opener.open(renderReport(exampleWithLabel(HOSTILE_NAME), assets), PHONE);
  });
  afterAll(() => opener.stop());

  it('shows verdict, volts and drawing on the first screen, and on two of a phone', async () => {
    for (const [{ page }, bottom] of [
      [wide, 800],
      [phone, 2 * PHONE.height],
    ] as const) {
      const box = await page.locator('.first-screen').boundingBox();
      expect((box?.y ?? 0) + (box?.height ?? 0)).toBeLessThanOrEqual(bottom);
      const drawings = await page
        .locator('#chain svg')
        .evaluateAll((all) =>
          all.map((svg) => svg.getBoundingClientRect().width).filter((width) => width > 0),
        );
      expect(drawings).toHaveLength(1);
    }
  });

  it('breaks no accessibility rule of axe-core, in light and in dark', async () => {
    const { page } = wide;
    // Put in by the test's own connection, which the page's content policy does not bind.
    await page.evaluate(axe);
    const broken = (options: string) =>
      page.evaluate<string[]>(
        `axe.run(document, ${options}).then(({ violations }) => violations.map(({ id, nodes }) => id + ': ' + nodes.map(({ html }) => html.slice(0, 100)).join(' | ')))`,
      );
    await page.locator('.choices summary').click();
    await page.getByLabel('light', { exact: true }).check();
    expect(await broken('{ resultTypes: ["violations"] }')).toEqual([]);
    await page.getByLabel('dark', { exact: true }).check();
    expect(
      await broken('{ resultTypes: ["violations"], runOnly: ["color-contrast", "link-in-text-block"] }'),
    ).toEqual([]);
    await page.getByLabel('as the system').check();
  });

  it('has every picture still from the start, and reads out the one that is touched', async () => {
    for (const { page } of [wide, phone]) {
      const plots = page.locator('.plot');
      const drawn: number[] = await plots.evaluateAll((all) =>
        all.map((plot) => plot.querySelectorAll('.still path').length),
      );
      expect(drawn.length).toBeGreaterThan(8);
      expect(Math.min(...drawn)).toBeGreaterThan(2);
      expect(await page.evaluate("'Plotly' in globalThis")).toBe(false);
      await plots.first().click();
      await plots.first().locator('svg.main-svg').first().waitFor({ timeout: 20_000 });
      expect(await page.locator('.main-svg').count()).toBeLessThan(5);
      expect(await plots.first().locator('.still').first().isVisible()).toBe(false);
    }
  });

  it('saves the radio at a glance as one picture, with every output in it.', async () => {
    const saved = async (name: string) => {
      const download = wide.page.waitForEvent('download');
      await wide.page.getByRole('button', { name }).click();
      return readFileSync(await (await download).path());
    };
    const svg = String(await saved('Save as SVG'));
    expect(svg.match(/^<svg [^>]*>/)?.[0]).toContain('viewBox');
    for (const name of ['Dash', 'Door', 'Rear', exampleResults().session.name])
      expect(svg).toContain(`>${name}<`);
    const png = await saved('Save as PNG');
    expect(png.subarray(1, 4).toString()).toBe('PNG');
    expect(png.length).toBeGreaterThan(5000);
  });

  it('prints the still picture in the place of one that was touched', async () => {
    const { page } = wide;
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.plot').first().locator('.still').first().isVisible()).toBe(true);
    expect(await page.locator('.live').first().isVisible()).toBe(false);
    await page.emulateMedia({ media: null });
  });

  it('has no sideways scroll at the width of a phone', async () => {
    const { content, width } = await phone.page
      .locator('html')
      .evaluate((html) => ({ content: html.scrollWidth, width: html.clientWidth }));
    expect(width).toBe(PHONE.width);
    expect(content).toBe(width);
  });

  it('shows all volts in dBu and back when the unit is switched, in words and in pictures', async () => {
    const { page } = wide;
    const plot = page.locator('#volume-law .plot');
    const shown = (unit: string) => page.locator(`#volts .${unit}`).first().isVisible();
    const still = (unit: string) => plot.locator(`.${unit} .still`).isVisible();
    const chosen = async () => [await shown('in-volts'), await shown('in-dbu')];
    expect([await chosen(), await still('in-volts'), await still('in-dbu')]).toEqual([
      [true, false],
      true,
      false,
    ]);
    await page.getByLabel('dBu').evaluate((input) => input.click());
    expect([await chosen(), await still('in-volts'), await still('in-dbu')]).toEqual([
      [false, true],
      false,
      true,
    ]);
    await plot.click();
    const axis = page.locator('#volume-law .ytitle');
    await axis.waitFor();
    expect(await axis.textContent()).toBe('Level, dBu');
    await page.getByLabel('V', { exact: true }).evaluate((input) => input.click());
    expect(await axis.textContent()).toBe('Volts RMS');
    expect(await chosen()).toEqual([true, false]);
  });

  it('shows wire by gauge when that is chosen', async () => {
    const { page } = wide;
    const gauge = page.locator('#advice .in-awg').first();
    await page.locator('#advice summary').evaluateAll((all) => all.map((one) => one.click()));
    expect(await gauge.isVisible()).toBe(false);
    await page.getByLabel('AWG').check();
    expect(await gauge.isVisible()).toBe(true);
    expect(await gauge.textContent()).toBe('AWG 5');
    await page.getByLabel('mm²').check();
    expect(await gauge.isVisible()).toBe(false);
  });

  it('leads from an answer to its evidence by keyboard alone, and from there to the take', async () => {
    const { page } = wide;
    await page.locator('#verdict a').first().focus();
    await page.keyboard.press('Enter');
    const finding = new URL(page.url()).hash;
    expect(await page.locator(finding).locator('h3').textContent()).toMatch(/^\d+ Bass against volume/);
    expect(await inView(page, finding)).toBe(true);
    await page.locator(`${finding} summary`).click();
    await page.locator(finding).getByRole('link', { name: /^take/ }).first().focus();
    await page.keyboard.press('Enter');
    const take = new URL(page.url()).hash;
    expect(await page.locator(`${take} th`).textContent()).toBe('door pair.wav');
    expect(await inView(page, take)).toBe(true);
  });

  it('reads values out of a picture by the arrow keys', async () => {
    const { page } = wide;
    const plot = page.locator('#volume-law .plot');
    await plot.focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    // The second setting: the same volts as in the second row of the table.
    const cell = await page.locator('#volume-law tbody tr').nth(1).locator('td').first().textContent();
    expect(cell).toMatch(/^[\d.]+ V$/);
    await expect.poll(() => plot.locator('.hoverlayer').textContent()).toContain(cell);
    await page.keyboard.press('Tab');
    await expect.poll(() => plot.locator('.hoverlayer text').count()).toBe(0);
  });

  it('gives each picture as a table on request', async () => {
    const details = wide.page.locator('#volume-law details');
    await details.locator('summary').click();
    expect(await details.locator('tbody tr').last().isVisible()).toBe(true);
    expect(await details.locator('tbody tr').count()).toBe(8);
  });

  it('saves the whole radio as a picture, SVG and PNG', async () => {
    const { page } = wide;
    for (const [name, first] of [
      ['Save as SVG', '<svg'],
      ['Save as PNG', '\x89PNG'],
    ]) {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('button', { name }).click(),
      ]);
      const bytes = readFileSync((await download.path()) as string);
      expect(bytes.subarray(0, 4).toString('latin1')).toBe(first);
      expect(bytes.length).toBeGreaterThan(2000);
    }
  });

  it('runs nothing that a tap or a session is called', async () => {
    const { page } = phone;
    expect(await page.title()).toBe(`${HOSTILE_NAME}: factory radio report`);
    expect(await page.locator('h1').textContent()).toBe(HOSTILE_NAME);
    expect(await page.locator('#volume-law :is(.legend li, .leader + text)').first().textContent()).toContain(
      '<script>',
    );
    expect(await page.locator('img').count()).toBe(0);
  });

  it('says nothing on the console, throws nothing and asks the network for nothing', () => {
    expect(wide.complaints).toEqual([]);
    expect(phone.complaints).toEqual([]);
  });

  it('shows what cannot be told as large as a finding', async () => {
    const { page } = await opener.open(renderReport(exampleNotKnown(), assets), PHONE);
    const notKnown = page.locator('.answer li.not-known').first();
    expect(await notKnown.textContent()).toContain('Not known');
    const found = wide.page.locator('.answer li.known').first();
    expect(await fontSize(notKnown)).toBe(await fontSize(found));
    await page.close();
  });
});

// The project's types know no browser, so what runs in the page reaches its window through the element.
function inView(page: Page, anchor: string): Promise<boolean> {
  return page.locator(anchor).evaluate((item) => {
    const { top, bottom } = item.getBoundingClientRect();
    return bottom > 0 && top < item.ownerDocument.defaultView.innerHeight;
  });
}

function fontSize(locator: Locator): Promise<string> {
  return locator.evaluate((item) => item.ownerDocument.defaultView.getComputedStyle(item).fontSize);
}
