import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { BrowserContext, Page } from 'playwright-core';
import { sharedChromium } from './shared-chromium.ts';

export interface OpenPage {
  readonly page: Page;
  /** Console messages and errors of the page, and every request for anything but the page itself. */
  readonly complaints: readonly string[];
}

/** A context of the shared browser for one file of tests, and a folder with the pages that it opens from disk. */
export class PageOpener {
  private context: BrowserContext | undefined;
  private readonly folder = mkdtempSync(join(tmpdir(), 'steptone-page-'));

  async start(): Promise<void> {
    this.context = await (await sharedChromium()).newContext();
  }

  /** An empty page, and the address of a file that holds the HTML: for those who watch how it is read. */
  async prepare(html: string, { width, height }: { width: number; height: number }) {
    const file = join(this.folder, 'prepared.html');
    writeFileSync(file, html);
    const page = await this.newPage({ width, height });
    return { page, address: pathToFileURL(file).href };
  }

  /** Opens a page as a reader would: a file on the disk. */
  async open(html: string, { width, height }: { width: number; height: number }): Promise<OpenPage> {
    const file = join(this.folder, 'report.html');
    writeFileSync(file, html);
    const address = pathToFileURL(file).href;
    const page = await this.newPage({ width, height });
    const complaints: string[] = [];
    page.on('console', (message) => complaints.push(`console ${message.type()}: ${message.text()}`));
    page.on('pageerror', (error) => complaints.push(`error: ${error.message}`));
    page.on('request', (request) => {
      // A picture that the page itself made, on its way to be saved.
      if (request.url() !== address && !request.url().startsWith('blob:'))
        complaints.push(`request: ${request.url()}`);
    });
    await page.goto(address, { waitUntil: 'load' });
    return { page, complaints };
  }

  async stop(): Promise<void> {
    await this.context?.close();
    rmSync(this.folder, { recursive: true, force: true });
  }

  private async newPage(viewport: { width: number; height: number }): Promise<Page> {
    if (this.context === undefined) throw new Error('start the browser first');
    const page = await this.context.newPage();
    await page.setViewportSize(viewport);
    return page;
  }
}
