import { afterAll, beforeAll } from 'vitest';
import type { JobPage, Started } from './job-page.ts';

/** Opens a page for all tests of a block, hands it over once it is ready, and ends its browser behind them. */
export function onePage<Page extends JobPage>(
  start: () => Promise<Started<Page>>,
  ready: (page: Page) => void | Promise<void>,
): void {
  let started: Started<Page> | undefined;
  beforeAll(async () => {
    started = await start();
    await ready(await started.open());
  });
  afterAll(() => started?.stop());
}
