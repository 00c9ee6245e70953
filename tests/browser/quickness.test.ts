import type { CDPSession, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { renderReport } from '../../src/report/render-report.ts';
import { describeWith } from '../outside-programs.ts';
import { largeResults } from '../report/large-results.ts';
import { reportAssets } from '../report/report-assets.ts';
import { PageOpener } from './browser.ts';

/**
 * Words and pictures within a second, for the largest report: 8 taps at 10 settings of which no two look alike. Held is
 * the time that the page's own thread is given by the processor, not the clock on the wall, so that other programs on a
 * busy machine do not count. Measured on two cores at a load of 14: words after 0.3 to 1.0 s by the clock, pictures 0.03 s
 * in the middle and 0.3 s at worst.
 */
const READABLE_SECONDS = 1;
/** The quickest of these counts: the others also tell what else the machine was at. */
const OPENINGS = 3;
const WORST_PICTURE_SECONDS = 1;
const MEDIAN_PICTURE_SECONDS = 0.25;

describeWith(['chromium'], 'the largest report', () => {
  const opener = new PageOpener();
  let page: Page;
  let session: CDPSession;
  let address: string;

  beforeAll(async () => {
    await opener.start();
    const html = renderReport(largeResults(), reportAssets());
    ({ page, address } = await opener.prepare(html, { width: 1280, height: 900 }));
    session = await page.context().newCDPSession(page);
    await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  });
  afterAll(() => opener.stop());

  it('shows its words within a second', async () => {
    const seconds: number[] = [];
    for (let i = 0; i < OPENINGS; i++) {
      const before = await busySeconds(session);
      await page.goto(address, { waitUntil: 'commit' });
      // A function: the page's policy forbids the evaluation of text.
      await page.waitForFunction(() => performance.getEntriesByName('first-contentful-paint').length > 0);
      expect(await page.locator('.answer').first().isVisible()).toBe(true);
      const paintedMs: number = await page.evaluate(
        "performance.getEntriesByName('first-contentful-paint')[0].startTime",
      );
      // The processor's time is read a little late: the clock may well show less.
      seconds.push(Math.min((await busySeconds(session)) - before, paintedMs / 1000));
    }
    expect(Math.min(...seconds)).toBeLessThan(READABLE_SECONDS);
  });

  it('has every picture from the start, still, before the plotting library is read', async () => {
    await page.waitForSelector('#about', { state: 'attached' });
    const drawn: number[] = await page
      .locator('.plot')
      .evaluateAll((all) => all.map((plot) => plot.querySelectorAll('svg path').length));
    expect(drawn.length).toBeGreaterThan(25);
    expect(Math.min(...drawn)).toBeGreaterThan(2);
  });

  it('makes each picture one that reads out within a second of coming into view', async () => {
    await page.waitForFunction(() => 'Plotly' in globalThis, null, { timeout: 60_000 });
    await page.waitForSelector('#charts', { state: 'attached', timeout: 60_000 });
    const plots = page.locator('.plot');
    const seconds: number[] = [];
    // Upwards, so that none is drawn ahead of its turn by the one before.
    for (let i = (await plots.count()) - 1; i >= 0; i--) {
      const before = await busySeconds(session);
      await plots.nth(i).evaluate((plot) => plot.scrollIntoView({ block: 'center' }));
      await plots.nth(i).locator('svg.main-svg').first().waitFor({ timeout: 60_000 });
      seconds.push((await busySeconds(session)) - before);
    }
    seconds.sort((a, b) => a - b);
    expect(seconds[Math.floor(seconds.length / 2)]).toBeLessThan(MEDIAN_PICTURE_SECONDS);
    expect(seconds[seconds.length - 1]).toBeLessThan(WORST_PICTURE_SECONDS);
  });
});

/** Processor time of the page's main thread so far. */
async function busySeconds(session: CDPSession): Promise<number> {
  const { metrics } = await session.send('Performance.getMetrics');
  const busy = metrics.find(({ name }) => name === 'TaskDuration');
  if (busy === undefined) throw new Error('the browser tells no TaskDuration');
  return busy.value;
}
