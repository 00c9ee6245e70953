import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Page } from 'playwright-core';
import { ownChromium, sharedChromium } from './shared-chromium.ts';
import { sharedFirefox } from './shared-firefox.ts';

/** The job page as `npm run build` writes it. */
const PAGE = resolve(import.meta.dirname, '../../dist/steptone.html');
export const PAGE_ADDRESS = pathToFileURL(PAGE).href;
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What tests do with a page, in either browser. */
export interface JobPage {
  /** Console messages, errors, and requests for anything but what the page itself made. */
  readonly complaints: string[];
  evaluate<Answer>(script: string): Promise<Answer>;
  click(selector: string): Promise<void>;
  /** As if the person had chosen them. */
  giveFiles(paths: readonly string[]): Promise<void>;
  /** One key, such as Tab. */
  key(name: 'Tab' | 'Enter' | 'Space'): Promise<void>;
  type(text: string): Promise<void>;
  resize(width: number, height: number): Promise<void>;
  reload(): Promise<void>;
  close(): Promise<void>;
}

const LOOK_EVERY_MS = 25;

/** Waits until a script answers something; says what the page shows where it never does. */
export async function waitFor<Answer>(page: JobPage, script: string, seconds = 100): Promise<Answer> {
  const end = Date.now() + 1000 * seconds;
  for (;;) {
    const answer = await page.evaluate<Answer | undefined>(script);
    if (answer) return answer;
    if (Date.now() > end)
      throw new Error(`never: ${script}\n${await page.evaluate('document.body.innerText')}`);
    await new Promise((done) => setTimeout(done, LOOK_EVERY_MS));
  }
}

/** Shows a step, and waits until it is there. */
export async function show(page: JobPage, step: string): Promise<void> {
  await page.evaluate(`location.hash = '#${step}'`);
  await waitFor(page, `document.querySelector('nav a[aria-current]')?.hash === '#${step}'`);
}

/** The button that carries this text. */
export async function press(page: JobPage, text: string): Promise<void> {
  const mark = `[...document.querySelectorAll('button')].find((one) => one.textContent.trim().startsWith(${JSON.stringify(text)}) && !one.disabled)`;
  await waitFor(page, `!!${mark}`);
  await page.evaluate(`${mark}.click()`);
}

/** Texts of files that the browser keeps, by name. */
export function keptTexts(page: JobPage, start: string): Promise<Record<string, string>> {
  return page.evaluate(`(async () => {
    const wait = (request) => new Promise((done) => { request.onsuccess = () => done(request.result); });
    const database = await wait(indexedDB.open('steptone-job'));
    const files = () => database.transaction('files').objectStore('files');
    const found = {};
    for (const name of await wait(files().getAllKeys()))
      if (name.startsWith(${JSON.stringify(start)}))
        found[name.slice(${start.length})] = await (await wait(files().get(name))).text();
    database.close();
    return found;
  })()`);
}

/** From here on, what is saved as a file is caught as well; `caught` answers its digests or its bytes. */
export async function catchSaved(page: JobPage): Promise<void> {
  await page.evaluate(`(() => {
    const known = window.caught;
    window.caught = [];
    if (known !== undefined) return;
    const make = URL.createObjectURL;
    URL.createObjectURL = (blob) => { window.caught.push(blob); return make.call(URL, blob); };
    HTMLAnchorElement.prototype.click = function () {};
  })()`);
}

export function caughtDigests(page: JobPage): Promise<string[]> {
  return page.evaluate(`Promise.all(window.caught.map(async (blob) =>
    [...new Uint8Array(await crypto.subtle.digest('SHA-256', await blob.arrayBuffer()))]
      .map((byte) => byte.toString(16).padStart(2, '0')).join('')))`);
}

export async function caughtBytes(page: JobPage): Promise<Uint8Array> {
  const text = await page.evaluate<string>(`(async () => {
    const bytes = new Uint8Array(await window.caught.at(-1).arrayBuffer());
    let text = '';
    for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
    return btoa(text);
  })()`);
  return Uint8Array.from(Buffer.from(text, 'base64'));
}

/** Goes on by the Tab key until something holds the focus whose name or text begins so. */
export async function tabTo(page: JobPage, name: string): Promise<void> {
  for (let steps = 0; steps < 120; steps++) {
    await page.key('Tab');
    const held = await page.evaluate<string>(`(() => {
      const one = document.activeElement;
      return (one.labels?.[0]?.innerText ?? one.innerText ?? '').trim();
    })()`);
    if (held.startsWith(name)) return;
  }
  throw new Error(`the Tab key never comes to '${name}'`);
}

/** Rules of axe-core that the page breaks now, each with where. */
export async function brokenRules(page: JobPage): Promise<string[]> {
  await page.evaluate(axe);
  return page.evaluate(`axe.run(document, { rules: { 'color-contrast': { enabled: true } } }).then(({ violations }) =>
    violations.flatMap(({ id, nodes }) => nodes.map(({ target }) => id + ' ' + target.join(' '))))`);
}

export interface Started<Page extends JobPage = JobPage> {
  open(): Promise<Page>;
  stop(): Promise<void>;
}

/** With the driver's own page, for what only one of the browsers can be told. */
export interface ChromiumPage extends JobPage {
  readonly driver: Page;
}

/** A new person's browser: what its pages keep is shared among them, and with nobody else. */
export async function startChromium({
  switches = [],
}: {
  switches?: string[];
} = {}): Promise<Started<ChromiumPage>> {
  mustBeBuilt();
  const own = switches.length > 0;
  const browser = own ? await ownChromium(switches) : await sharedChromium();
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  return {
    open: async () => jobPageOf(await context.newPage()),
    stop: () => (own ? browser.close() : context.close()),
  };
}

/** Opens the job page in a tab of Chromium. */
export async function jobPageOf(driver: Page): Promise<ChromiumPage> {
  const complaints: string[] = [];
  driver.on('console', (message) => complaints.push(`console ${message.type()}: ${message.text()}`));
  driver.on('pageerror', (error) => complaints.push(`error: ${error.message}`));
  driver.on('request', (request) => {
    if (!isOwn(request.url())) complaints.push(`request: ${request.url()}`);
  });
  await driver.goto(PAGE_ADDRESS);
  await driver.waitForSelector('h1');
  return {
    driver,
    complaints,
    evaluate: (script) => driver.evaluate(script) as Promise<never>,
    click: (selector) => driver.click(selector),
    giveFiles: (paths) =>
      driver
        .locator('input[type=file]')
        .first()
        .setInputFiles([...paths]),
    key: (name) => driver.keyboard.press(name),
    type: (text) => driver.keyboard.type(text),
    resize: (width, height) => driver.setViewportSize({ width, height }),
    async reload() {
      await driver.reload();
      await driver.waitForSelector('h1');
    },
    close: () => driver.close(),
  };
}

export async function startFirefox(): Promise<Started> {
  mustBeBuilt();
  const context = await (await sharedFirefox()).createBrowserContext();
  return {
    stop: () => context.close(),
    async open() {
      const page = await context.newPage();
      const complaints: string[] = [];
      page.on('console', (message) => complaints.push(`console ${message.type()}: ${message.text()}`));
      page.on('pageerror', (error) => complaints.push(`error: ${String(error)}`));
      page.on('request', (request) => {
        if (!isOwn(request.url())) complaints.push(`request: ${request.url()}`);
      });
      await page.setViewport({ width: 1280, height: 900 });
      await page.goto(PAGE_ADDRESS);
      await page.waitForSelector('h1');
      return {
        complaints,
        evaluate: (script) => page.evaluate(script) as Promise<never>,
        click: (selector) => page.click(selector),
        async giveFiles(paths) {
          const input = await page.$('input[type=file]');
          await (input as unknown as { uploadFile(...paths: string[]): Promise<void> }).uploadFile(...paths);
        },
        key: (name) => page.keyboard.press(name),
        type: (text) => page.keyboard.type(text),
        resize: (width, height) => page.setViewport({ width, height }),
        async reload() {
          await page.reload();
          await page.waitForSelector('h1');
        },
        close: () => page.close(),
      };
    },
  };
}

/** The page itself, and addresses of what it holds in memory. */
function isOwn(address: string): boolean {
  return address.split('#')[0] === PAGE_ADDRESS || /^(blob|data):/.test(address);
}

function mustBeBuilt(): void {
  if (!existsSync(join(PAGE))) throw new Error("not built: run 'npm run build' first, as 'npm test' does");
}

/** A file that the browser keeps; undefined where there is none of that name. */
export async function keptBytes(page: JobPage, name: string): Promise<Uint8Array | undefined> {
  const text = await page.evaluate<string | null>(`(async () => {
    const wait = (request) => new Promise((done) => { request.onsuccess = () => done(request.result); });
    const database = await wait(indexedDB.open('steptone-job'));
    const blob = await wait(database.transaction('files').objectStore('files').get(${JSON.stringify(name)}));
    database.close();
    if (blob === undefined) return null;
    const bytes = new Uint8Array(await blob.arrayBuffer());
    let text = '';
    for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
    return btoa(text);
  })()`);
  return text === null ? undefined : Uint8Array.from(Buffer.from(text, 'base64'));
}

/** Chooses from the list that offers a value. */
export function choose(page: JobPage, value: string): Promise<void> {
  return page.evaluate(`(() => {
    const select = [...document.querySelectorAll('select')].find((one) => [...one.options].some((option) => option.value === ${JSON.stringify(value)}));
    select.value = ${JSON.stringify(value)};
    select.dispatchEvent(new Event('change', { bubbles: true }));
  })()`);
}

/** Types into the field of a label, all at once. */
export function fillIn(page: JobPage, label: string, text: string): Promise<void> {
  return page.evaluate(`(() => {
    const input = [...document.querySelectorAll('input')].find((one) => one.labels?.[0]?.innerText.startsWith(${JSON.stringify(label)}));
    input.value = ${JSON.stringify(text)};
    input.dispatchEvent(new Event('input', { bubbles: true }));
  })()`);
}
