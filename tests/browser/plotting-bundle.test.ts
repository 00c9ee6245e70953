import { afterAll, beforeAll, expect, it } from 'vitest';
import { renderReport } from '../../src/report/render-report.ts';
import { describeWith } from '../outside-programs.ts';
import { exampleResults } from '../report/example-results.ts';
import { reportAssets } from '../report/report-assets.ts';
import { PageOpener } from './browser.ts';

/** The whole plotting library, of the same version as the bundle that reports hold. */
const WHOLE_LIBRARY = 'plotly.js-dist-min/plotly.min.js';

describeWith(['chromium'], 'the plotting bundle with lines and contours only', () => {
  const opener = new PageOpener();
  beforeAll(() => opener.start());
  afterAll(() => opener.stop());

  it('draws every picture as the whole library does', async () => {
    const [bundle, whole] = [await drawn(reportAssets()), await drawn(reportAssets(WHOLE_LIBRARY))];
    expect(bundle.length).toBeGreaterThan(5);
    expect(Math.min(...bundle.map(({ lines }) => lines.length))).toBeGreaterThan(0);
    expect(bundle).toEqual(whole);
  });

  /** What each touched picture is made of: its curves point by point, and its words. */
  async function drawn(assets: ReturnType<typeof reportAssets>) {
    const { page } = await opener.open(renderReport(exampleResults(), assets), { width: 1280, height: 900 });
    const plots = page.locator('.plot');
    const count = await plots.count();
    const pictures: { lines: (string | null)[]; words: (string | null)[] }[] = [];
    for (let i = 0; i < count; i++) {
      const plot = plots.nth(i);
      await plot.evaluate((one) => {
        one.scrollIntoView({ block: 'center' });
        one.dispatchEvent(new Event('pointerdown'));
      });
      await plot.locator('svg.main-svg').first().waitFor({ timeout: 60_000 });
      pictures.push(
        await plot.evaluate((one) => ({
          lines: [...one.querySelectorAll('.plot path, .contour path')].map((path) => path.getAttribute('d')),
          words: [...one.querySelectorAll('.main-svg text')].map(({ textContent }) => textContent),
        })),
      );
    }
    await page.close();
    return pictures;
  }
});
