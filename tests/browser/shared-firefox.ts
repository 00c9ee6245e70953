import { type Browser, launch } from 'puppeteer-core';

let shared: Promise<Browser> | undefined;

/**
 * One Firefox for all files of tests that this process runs, for it takes seconds to start: each takes a context of its own,
 * which keeps its files apart. It ends with the process.
 */
export function sharedFirefox(): Promise<Browser> {
  // A worker that is told to end is killed half a second later: too soon for a farewell, so that Firefox would stay behind.
  if (shared === undefined) process.once('SIGTERM', () => process.exit());
  shared ??= launch({
    browser: 'firefox',
    executablePath: '/usr/bin/firefox-esr',
    headless: true,
    handleSIGTERM: false,
  });
  return shared;
}
