import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { inflateRawSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { asWritten } from '../../src/model/reason.ts';
import { type Results, resultsSchema } from '../../src/model/results.ts';
import { CAUTIONS } from '../../src/report/cautions.ts';
import { escapeHtml } from '../../src/report/html.ts';
import { renderReport } from '../../src/report/render-report.ts';
import { PLOTLY_FILE } from '../../src/report/report-assets.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { exampleNotKnown, exampleResults, exampleWithLabel } from './example-results.ts';
import { largeResults } from './large-results.ts';
import { reportAssets } from './report-assets.ts';

const assets = reportAssets();
const results = exampleResults();
const page = renderReport(results, assets);
const withoutScripts = page.replaceAll(assets.plotting.deflatedBase85, '').replaceAll(assets.script, '');

describe('the example', () => {
  it('is what the results schema asks for, so that the page is tried on the real shape', () => {
    expect(() => resultsSchema.parse(results)).not.toThrow();
    expect(() => resultsSchema.parse(exampleNotKnown())).not.toThrow();
  });
});

describe('the page', () => {
  it('is the same bytes for the same results, also after a round trip through JSON', () => {
    expect(renderReport(JSON.parse(JSON.stringify(exampleResults())), assets) === page).toBe(true);
  });

  it('allows its two scripts by their hashes and nothing else', () => {
    const policy = /Content-Security-Policy" content="([^"]*)"/.exec(page)?.[1] ?? '';
    const [packed, plain] = [
      ...page.matchAll(/<script(?: type="text\/plain" id="plotting")?>([\s\S]*?)<\/script>/g),
    ].map(([, text]) => text);
    const unpacked = inflateRawSync(bytesOf(packed)).toString('utf8');
    expect(unpacked).toBe(readFileSync(createRequire(import.meta.url).resolve(PLOTLY_FILE), 'utf8'));
    const hashes = [unpacked, plain].map(
      (text) => `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`,
    );
    expect(policy).toContain(`script-src ${hashes.join(' ')};`);
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("connect-src 'none'");
  });

  it('asks for no other file and no address on the network', () => {
    expect(withoutScripts).not.toMatch(/\s(src|srcset|action|poster)=/);
    expect(
      [...withoutScripts.matchAll(/href="([^"]*)"/g)].map(([, to]) => to).filter((to) => !to.startsWith('#')),
    ).toEqual([]);
    expect(withoutScripts).not.toMatch(/https?:/);
  });

  it('links only to what is there, and gives no address twice', () => {
    const ids = [...withoutScripts.matchAll(/\sid="([^"]*)"/g)].map(([, id]) => id);
    const targets = [...withoutScripts.matchAll(/href="#([^"]*)"/g)].map(([, id]) => id);
    expect(targets.length).toBeGreaterThan(50);
    expect(targets.filter((id) => !ids.includes(id))).toEqual([]);
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('puts verdict, volts, drawing and settings before any picture', () => {
    const order = [
      'id="verdict"',
      'id="volts"',
      'id="chain"',
      'id="answers"',
      'id="pictures"',
      'id="advice"',
      'id="findings"',
      'id="cautions"',
      'id="methods"',
      'id="recordings"',
      'id="about"',
    ];
    const places = order.map((id) => page.indexOf(id));
    expect(places.every((place) => place > 0)).toBe(true);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
  });

  it('carries every caution of the trade', () => {
    for (const { items } of CAUTIONS) {
      for (const item of items) expect(page).toContain(escapeHtml(item));
    }
    const text = CAUTIONS.flatMap(({ items }) => items).join(' ');
    // What must not be forgotten, from the trade's own list.
    for (const word of [
      'bridged',
      'chassis',
      'oscilloscope',
      'laptop on its charger',
      'shared ground',
      'phantom power',
      'loop take',
      'tweeters',
      'hearing',
      '5 W',
      'Step up from quiet',
      'Take the stick out',
      'Disconnect the battery',
      'airbag',
      'Fuse every supply wire',
      'open air',
      'orange',
      'flatten a battery',
      'sleep current',
      'local codes',
      'licensed practice',
      '45 cm',
      'ferrules',
      'current sensor',
      'restoration reacts',
      '12 dB',
    ])
      expect(text).toContain(word);
  });

  it('names every take, what was left out, the version and the hashes of the inputs', () => {
    // Three files of two channels at eight settings.
    expect([...page.matchAll(/<tr id="take-\d+"/g)]).toHaveLength(24);
    for (const { label } of results.session.taps) {
      expect([...page.matchAll(new RegExp(`<span class="whole">[12] ${label} `, 'g'))]).toHaveLength(8);
    }
    for (const { reason } of results.notes) expect(page).toContain(escapeHtml(reasonText(reason)));
    for (const { sha256 } of results.inputs) expect(page).toContain(sha256);
    expect(page).toContain('Steptone 0.1.0');
  });

  it('says a note of the session once, and what the tool noted beside it', () => {
    const [note] = results.session.notes;
    const noted = renderReport(
      { ...results, notes: [...results.notes, { file: null, reason: note }] },
      assets,
    );
    expect(noted.split(escapeHtml(reasonText(note)))).toHaveLength(2);
    expect(noted).toContain(escapeHtml(reasonText(results.notes[0].reason)));
  });

  it('keeps text of the user as text, wherever it comes from', () => {
    const evil = '</script><script>alert(1)</script><img src=x onerror=alert(2)>';
    const named = exampleWithLabel(evil);
    const hostile: Results = {
      ...named,
      notes: [{ file: evil, reason: asWritten(evil) }],
      inputs: [{ file: evil, sha256: evil, byteLength: 1 }],
      session: { ...named.session, notes: [asWritten(evil)], source: evil },
      findings: named.findings.map((finding) => ({
        ...finding,
        evidence: finding.evidence.map((one) => ({ ...one, file: evil })),
      })),
      recommendations: named.recommendations.map((item) => ({ ...item, reasons: [asWritten(evil)] })),
    };
    const rendered = renderReport(hostile, assets)
      .replaceAll(assets.plotting.deflatedBase85, '')
      .replaceAll(assets.script, '');
    expect(rendered).not.toContain('<script>alert');
    expect(rendered).not.toContain('<img');
    expect(rendered).toContain(escapeHtml(evil));
  });

  it('fills each place of the template once: a name that looks like a place stays a name', () => {
    expect(
      renderReport(exampleWithLabel('{{plotting}}'), assets).match(/\{\{plotting\}\}/g)?.length,
    ).toBeGreaterThan(2);
  });

  it('says whether the dash may be closed, and what was remarked of each take', () => {
    const page = renderReport(
      {
        ...results,
        checks: {
          soFar: [{ tapIds: ['rear-left'], known: [{ code: 'full range' }, { code: 'bass steady' }] }],
          notes: [{ tapIds: [], settings: [], reason: asWritten('is fade at centre?') }],
          takes: [],
          files: [],
          missing: [],
          recordNext: [
            {
              tapIds: ['rear-left'],
              settings: [24],
              why: asWritten('narrows where the bass begins to go'),
              needed: true,
            },
          ],
          mayCloseDash: false,
          reasons: [{ tapIds: ['rear-left'], settings: [24], reason: { code: 'no usable take' } }],
        },
      },
      assets,
    );
    expect(page).toMatch(/You may close the dash: no, [^<]+ at 24: no usable take\./);
    expect(page).toContain('narrows where the bass begins to go');
    expect(page).toContain('full range; bass steady');
    expect(page).toContain('is fade at centre?');
  });

  it('says so where nothing can be set yet', () => {
    expect(renderReport(exampleNotKnown(), assets)).toContain('There is nothing to set yet');
  });

  it('shows no trace of a broken number or a missing word', () => {
    expect(withoutScripts.replace(/<style>[\s\S]*?<\/style>/, '').replace(/id="charts">.*/, '')).not.toMatch(
      /undefined|NaN|Infinity|\[object/,
    );
  });

  it('stays under 3.2 MB for 8 taps and 10 settings of which no two look alike', () => {
    expect(Buffer.byteLength(renderReport(largeResults(), assets))).toBeLessThan(3.2e6);
  });
});

describe('the template', () => {
  it('has a place for every part', () => {
    const html = readFileSync(new URL('../../report-template/page.html', import.meta.url), 'utf8');
    for (const part of ['policy', 'title', 'name', 'style', 'body', 'charts', 'plotting', 'script']) {
      expect(html).toContain(`{{${part}}}`);
    }
  });
});

/** Ascii85 by its definition, in whole numbers of any size, with '~' for '<' and '#' for '!'. */
function bytesOf(text: string): Buffer {
  const groups = text.match(/.{1,5}/gs) ?? [];
  return Buffer.concat(
    groups.map((group) => {
      const value = [...group.padEnd(5, 'w')].reduce(
        (sum, sign) => sum * 85n + BigInt((sign === '~' ? 60 : sign.charCodeAt(0)) - 35),
        0n,
      );
      return Buffer.from(value.toString(16).padStart(8, '0'), 'hex').subarray(0, group.length - 1);
    }),
  );
}
