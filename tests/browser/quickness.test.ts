import type { CDPSession, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { renderReport } from '../../src/report/render-report.ts';
import { describeWith } from '../outside-programs.ts';
import { largeResults } from '../report/large-results.ts';
import { reportAssets } from '../report/report-assets.ts';
import { PageOpener } from './browser.ts';

/**
 * For the largest report: 8 taps at 10 settings of which no two look alike. Held is the time that the page's own thread is
 * given by the processor, not the clock on the wall, so that other programs on a busy machine do not count.
 */
const WORDS_SECONDS = 0.5;
/** The first touch unpacks the plotting library and compiles it: 0.6 s, with the full library 1.5. */
const FIRST_TOUCH_SECONDS = 0.9;
/** The quickest of these counts: the others also tell what else the machine was at. */
const OPENINGS = 3;
const MEDIAN_TOUCH_SECONDS = 0.25;

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

  it('shows its words within half a second', async () => {
    const seconds: number[] = [];
    for (let i = 0; i < OPENINGS; i++) {
      const before = await busySeconds(session);
      await page.goto(address, { waitUntil: 'commit' });
      // A function: the page's policy forbids the evaluation of text.
      await page.waitForFunction(() => performance.getEntriesByName('first-contentful-paint').length > 0);
      expect(await page.locator('#verdict').first().isVisible()).toBe(true);
      const paintedMs: number = await page.evaluate(
        "performance.getEntriesByName('first-contentful-paint')[0].startTime",
      );
      // The processor's time is read a little late: the clock may well show less.
      seconds.push(Math.min((await busySeconds(session)) - before, paintedMs / 1000));
    }
    expect(Math.min(...seconds)).toBeLessThan(WORDS_SECONDS);
  });

  it('has every picture from the start, still, and no plotting library', async () => {
    await page.waitForSelector('#about', { state: 'attached' });
    const drawn: number[] = await page
      .locator('.plot')
      .evaluateAll((all) => all.map((plot) => plot.querySelectorAll('svg path').length));
    expect(drawn.length).toBeGreaterThan(25);
    expect(Math.min(...drawn)).toBeGreaterThan(2);
    expect(await page.evaluate("'Plotly' in globalThis")).toBe(false);
  });

  it('answers the first touch within a second, and the others sooner', async () => {
    const plots = page.locator('.plot');
    const first: number[] = [];
    for (let i = 0; i < OPENINGS; i++) {
      await page.goto(address);
      const seconds: number[] = [];
      for (const at of [0, 1, 2, 3]) seconds.push(await secondsOfTouch(plots.nth(at)));
      first.push(seconds[0]);
      expect(seconds.slice(1).sort((a, b) => a - b)[1]).toBeLessThan(MEDIAN_TOUCH_SECONDS);
    }
    expect(Math.min(...first)).toBeLessThan(FIRST_TOUCH_SECONDS);
  });

  async function secondsOfTouch(plot: Locator): Promise<number> {
    await plot.evaluate((one) => one.scrollIntoView({ block: 'center' }));
    const before = await busySeconds(session);
    await plot.evaluate((one) => one.dispatchEvent(new Event('pointerdown')));
    await plot.locator('svg.main-svg').first().waitFor({ timeout: 60_000 });
    return (await busySeconds(session)) - before;
  }
});

/** Processor time of the page's main thread so far. */
async function busySeconds(session: CDPSession): Promise<number> {
  const { metrics } = await session.send('Performance.getMetrics');
  const busy = metrics.find(({ name }) => name === 'TaskDuration');
  if (busy === undefined) throw new Error('the browser tells no TaskDuration');
  return busy.value;
}
