import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { describeWith } from '../outside-programs.ts';
import { show, startChromium, startFirefox, waitFor } from './job-page.ts';

const FIELD = `[...document.querySelectorAll('input')].find(({ labels }) => labels?.[0]?.innerText.startsWith('Car and radio'))`;
/** Quicker than anybody types, so that the first letters are still being kept when the page goes. */
const LETTERS = 40;

for (const [program, start] of [
  ['chromium', startChromium],
  ['firefox', startFirefox],
] as const)
  describeWith([program], `a page that goes while somebody types, in ${program}`, () => {
    it('keeps every letter.', async () => {
      const started = await start();
      try {
        const page = await started.open();
        for (const car of ['first', 'second', 'third']) {
          await show(page, 'car');
          await page.evaluate(`(() => {
            const field = ${FIELD};
            for (let letters = 0; letters <= ${LETTERS}; letters++) {
              field.value = '${car}' + 'x'.repeat(letters);
              field.dispatchEvent(new Event('input', { bubbles: true }));
            }
          })()`);
          await page.reload();
          await show(page, 'car');
          await waitFor(page, `${FIELD} !== undefined`);
          expect(await page.evaluate(`${FIELD}.value`)).toBe(car + 'x'.repeat(LETTERS));
        }
        expect(page.complaints).toEqual([]);
      } finally {
        await started.stop();
      }
    });

    it('puts no letter that there was no room for over a file that was given later.', async () => {
      const folder = mkdtempSync(join(tmpdir(), 'steptone-typed-'));
      const started = await start();
      try {
        const page = await started.open();
        await show(page, 'car');
        await page.evaluate(`(() => {
          const field = ${FIELD};
          const put = IDBObjectStore.prototype.put;
          IDBObjectStore.prototype.put = () => { throw new DOMException('no room', 'QuotaExceededError'); };
          field.value = 'typed';
          field.dispatchEvent(new Event('input', { bubbles: true }));
          IDBObjectStore.prototype.put = put;
        })()`);
        const session = join(folder, 'session.yaml');
        writeFileSync(session, 'name: given\nsettings: 10-38/4\ntaps: [rear-left]\n');
        await page.giveFiles([session]);
        await waitFor(page, `${FIELD}?.value === 'given'`);
        await page.reload();
        await show(page, 'car');
        await waitFor(page, `${FIELD} !== undefined`);
        expect(await page.evaluate(`${FIELD}.value`)).toBe('given');
      } finally {
        await started.stop();
        rmSync(folder, { recursive: true, force: true });
      }
    });
  });
