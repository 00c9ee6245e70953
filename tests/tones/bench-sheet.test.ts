import { describe, expect, it } from 'vitest';
import { escapeHtml } from '../../src/model/escape-html.ts';
import { newSession } from '../../src/model/new-session.ts';
import type { SessionInput } from '../../src/model/session-input.ts';
import { benchSheet } from '../../src/tones/bench-sheet/bench-sheet.ts';
import { takeList } from '../../src/tones/bench-sheet/take-list.ts';
import { stickFiles } from '../../src/tones/stick-files.ts';

const files = [...stickFiles(44_100), ...stickFiles(48_000)];

it('has pairs to fill in for a session that knows its settings only', () => {
  const sheet = benchSheet({ session: { settings: '10-38/4' }, files });
  expect(sheet).toContain('Pair A: both taps');
  expect(sheet.match(/<td>38<\/td>/g)?.length).toBeGreaterThan(1);
});

describe('takeList', () => {
  const settings = [34, 10, 14, 18, 22, 26, 30, 38, 10];
  const takes = takeList(settings);
  const ofPair = (pair: string) => takes.filter(({ what }) => what.startsWith(`Pair ${pair}: both`));

  it('numbers the takes from 1 without a gap', () => {
    expect(takes.map(({ number }) => number)).toEqual(takes.map((_, i) => i + 1));
  });

  it('proves the recorder first: a loop take and a shorted take', () => {
    expect(takes[0].what).toMatch(/^Loop/);
    expect(takes[1].what).toMatch(/^Shorted/);
  });

  it('has every setting once on the first pair, rising, so that the loudest comes last', () => {
    expect(ofPair('A').map(({ setting }) => setting)).toEqual([10, 14, 18, 22, 26, 30, 34, 38]);
    expect(new Set(ofPair('A').map(({ play }) => play))).toEqual(new Set(['full track']));
  });

  it('has low, middle, the first pair’s highest clean one and high, and one linking take on each further pair', () => {
    for (const pair of ['B', 'C', 'D']) {
      expect(ofPair(pair).map(({ setting }) => setting)).toEqual([10, 22, null, 38]);
      expect(
        takes.filter(({ what }) => what.startsWith('Link') && what.includes(`tap ${pair}`)),
      ).toHaveLength(1);
    }
  });

  it('leaves the settings blank where none are chosen yet', () => {
    expect(takeList().filter(({ setting }) => setting === null).length).toBeGreaterThan(8);
    expect(takeList([]).some(({ setting }) => typeof setting === 'number')).toBe(false);
  });
});

describe('benchSheet', () => {
  const html = benchSheet({ settings: [10, 22, 38], files });

  it('is one page of its own: nothing to load, nothing to run', () => {
    expect(html).not.toMatch(/<script|<link|<img|https?:|@import|url\(/i);
    expect(html).not.toMatch(/undefined|NaN|null/);
  });

  it('has a row to write on for every take', () => {
    for (const { what } of takeList([10, 22, 38])) expect(html).toContain(`<td>${escapeHtml(what)}</td>`);
  });

  it.each([
    'service information',
    'local codes',
    'licensed practice',
    'half the supply',
    'chassis',
    'mains-earthed',
    'laptop on its charger',
    'phantom power off',
    'destroy tweeters and hearing',
    '5 W',
    'Stop at any distress',
    'stick out before',
    'Disconnect the battery',
    'airbag',
    'Fuse every supply wire',
    'open air',
    'orange cables',
    'sleep current',
    'isolating transformers lose bass',
  ])('cautions: %s', (words) => {
    expect(html).toContain(words);
  });

  it("asks for supply volts, each wire's DC to chassis, and controls at centre", () => {
    for (const words of [
      '>Supply<',
      'DC to chassis',
      'At centre: ',
      '>bass<',
      '>treble<',
      '>balance<',
      '>fade<',
      'volume that follows speed',
    ]) {
      expect(html).toContain(words);
    }
  });

  it('works its pads out by the divider formula', () => {
    // By hand: 100 || 10k = 99.0099; (1020 + 99.0099) / 99.0099 = 11.302, (2400 + 99.0099) / 99.0099 = 25.240;
    // 10.2 V^2 x 510 / 1119.01^2 = 0.0424 W; 25^2 x 1200 / 2499.01^2 = 0.1201 W. The 0.68 W is a circuit simulator's as well.
    for (const figure of ['11.30', '25.24', '0.042 W', '0.120 W', '0.68 W']) expect(html).toContain(figure);
  });
});

describe('benchSheet for a session', () => {
  const names = ['front-left', 'front-right', 'rear-left', 'rear-right', 'sub'];
  const written = { name: 'A & B', settings: '10-18/4', taps: names.join(), calibration: 'none' };
  const sheetFor = (session: SessionInput) => benchSheet({ session, files });
  const filesIn = (html: string) => [...html.matchAll(/<td>([\w-]+\.wav)<\/td>/g)].map(([, name]) => name);

  it('names each recording as the session looks for it: all settings of the first pair, three of the others, the links', () => {
    const html = sheetFor(newSession({ level: '', ...written, channels: '2' }));
    expect(filesIn(html).filter((name) => /^(pair|link)/.test(name))).toEqual([
      ...['pair-a-10.wav', 'pair-a-14.wav', 'pair-a-18.wav'],
      ...['pair-b-10.wav', 'pair-b-14.wav', 'pair-b-___.wav', 'pair-b-18.wav', 'link-b-14.wav'],
      ...['pair-c-10.wav', 'pair-c-14.wav', 'pair-c-___.wav', 'pair-c-18.wav', 'link-c-14.wav'],
    ]);
    for (const name of names) expect(html).toContain(name);
    expect(html).toContain('Link: 1 front-left, 2 sub');
    expect(html).toContain('A &#38; B');
  });

  it('has no further pairs and no links where the recorder takes all taps at once', () => {
    const html = sheetFor(newSession({ level: '', ...written, channels: '8' }));
    expect(filesIn(html).filter((name) => !/noise|loop|shorted|source/.test(name))).toEqual([
      ...['setting-10.wav', 'setting-14.wav', 'setting-18.wav'],
    ]);
    expect(html).toContain('Group A: all 5 taps');
    expect(html).toContain('customer&#39;s own source');
    expect(filesIn(html)).toContain('source-14.wav');
    expect(html).not.toMatch(/<td>Link/);
  });

  it('has no links for a recorder with one channel, whose arrival times do not compare', () => {
    const html = sheetFor(newSession({ level: '', ...written, channels: '1' }));
    expect(html).toContain('<td>Tap E, high</td>');
    expect(html).not.toMatch(/<td>Link/);
  });

  it('shows the wires that are known already, escaped', () => {
    const tap = { id: 'a<b>', plus: { colour: 'white', pin: 3 }, connector: 'grey "16"' };
    const html = sheetFor({ settings: 10, taps: [tap, 'c'] });
    expect(html).toContain('<span class="known">white, 3</span>');
    expect(html).toContain('a&#60;b&#62;; grey &#34;16&#34;<br>c');
  });
});

describe('stickFiles', () => {
  it('gives each of 15 sounds at each rate a plain name of its own', () => {
    const names = files.map(({ name }) => name);
    expect(new Set(names).size).toBe(30);
    expect(names).toContain('steptone-full-track-48k.wav');
    for (const name of names) expect(name).toMatch(/^steptone-[a-z0-9-]+-(44|48)k\.wav$/);
  });
});
