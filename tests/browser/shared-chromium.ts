import { type Browser, chromium } from 'playwright-core';

/** Debian's browser, with everything off that would talk to a network. */
const EXECUTABLE = '/usr/bin/chromium';
const SWITCHES = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

let shared: Promise<Browser> | undefined;

/**
 * One browser for all files of tests that this process runs: each takes a context of its own, which shares nothing with the
 * others. It ends with the process.
 */
export function sharedChromium(): Promise<Browser> {
  shared ??= ownChromium();
  return shared;
}

/** One with switches that others do not want; who starts it ends it. */
export function ownChromium(switches: readonly string[] = []): Promise<Browser> {
  return chromium.launch({ executablePath: EXECUTABLE, args: [...SWITCHES, ...switches] });
}
