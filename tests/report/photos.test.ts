import { describe, expect, it } from 'vitest';
import type { Results } from '../../src/model/results.ts';
import { escapeHtml } from '../../src/report/html.ts';
import { renderPages } from '../../src/report/pages.ts';
import { photoKind } from '../../src/report/photos.ts';
import { exampleResults } from './example-results.ts';
import { reportAssets } from './report-assets.ts';

const assets = reportAssets();
const EVIL = '<img src=x onerror=alert(1)>';

/** The example with wires, a plug and photos noted of its first tap, and one photo of the whole job. */
function noted(): Results {
  const results = exampleResults();
  const taps = results.session.taps.map((tap, i) =>
    i > 0
      ? tap
      : {
          ...tap,
          plus: { colour: 'white', pin: 'A3' },
          minus: { colour: 'white/black' },
          connector: 'grey, 16 pins',
          note: EVIL,
          photos: [{ file: 'photos/plug.jpg', caption: EVIL }],
        },
  );
  return { ...results, session: { ...results.session, taps, photos: [{ file: 'a.png', caption: 'a.png' }] } };
}

/** A `data:` address of so many characters. */
const image = (length: number) => `data:image/jpeg;base64,${'A'.repeat(length)}`;
const plain = renderPages(exampleResults(), assets, new Map());
const named = renderPages(noted(), assets, new Map());
const PAGES = Object.keys(plain);
const WITH_TAPS = ['report.html', 'dial-in-sheet.html', 'hand-over-sheet.html'];

describe('wires, plugs and photos of the taps', () => {
  it.each(WITH_TAPS)('%s says where each wire is, escaped', (page) => {
    for (const text of ['white (', 'A3', 'white/black', 'grey, 16 pins', 'photos/plug.jpg', 'a.png'])
      expect(named[page]).toContain(text);
    expect(named[page]).not.toContain(EVIL);
    expect(named[page]).toContain(escapeHtml(EVIL));
  });

  it('leave the pages as they were where none were noted', () => {
    for (const page of WITH_TAPS) expect(plain[page]).not.toMatch(/factory wires were tapped|Photo/);
  });

  it('say at the hand-over which feeds a tap gives', () => {
    const row = /<tr><th scope="row">[^<]*<\/th><td data-name="Feeds">([^<]*)<\/td>/.exec(
      named['hand-over-sheet.html'],
    )?.[1];
    expect(row).toMatch(/front left|subwoofer|measured only/);
  });
});

describe('photos in pages', () => {
  it('are shown where there is room, with nothing fetched from outside', () => {
    const pages = renderPages(noted(), assets, new Map([['photos/plug.jpg', image(1000)]]));
    for (const page of WITH_TAPS) {
      expect(pages[page]).toContain(`<img src="${image(1000)}"`);
      expect(pages[page].match(/<img src="(?!data:)/)).toBeNull();
      expect(pages[page]).toMatch(/img-src data:/);
    }
  });

  it.each(PAGES)('%s stays within 6 MB, and names what it does not show', (page) => {
    // Either fits alone, both together do not.
    const most = image(Math.round(0.6 * (6_000_000 - named[page].length)));
    const images = new Map([
      ['photos/plug.jpg', most],
      ['a.png', most],
    ]);
    const text = renderPages(noted(), assets, images)[page];
    expect(new TextEncoder().encode(text).length).toBeLessThan(6_000_000);
    if (!WITH_TAPS.includes(page)) return;
    expect(text.match(/<img src="data:/g)).toHaveLength(1);
    expect(text).toContain('Photo: a.png');
  });
});

describe('the kind of an image by its bytes', () => {
  // First bytes as in ITU-T T.81 B.1.1.3 and ISO/IEC 15948 5.2; a GIF (GIF89a) and a page for contrast.
  it.each([
    ['a JPEG with EXIF', [0xff, 0xd8, 0xff, 0xe1], 'image/jpeg'],
    ['a JPEG with JFIF', [0xff, 0xd8, 0xff, 0xe0], 'image/jpeg'],
    ['a PNG', [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0], 'image/png'],
    ['a PNG spoilt by a text transfer', [0x89, 0x50, 0x4e, 0x47, 0x0a, 0x1a, 0x0a, 0], null],
    ['a GIF', [0x47, 0x49, 0x46, 0x38, 0x39, 0x61], null],
    ['a page', [...new TextEncoder().encode('<svg onload=alert(1)>')], null],
    ['nothing', [], null],
  ])('%s', (_, bytes, kind) => {
    expect(photoKind(Uint8Array.from(bytes))).toBe(kind);
  });
});
