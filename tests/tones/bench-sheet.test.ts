import { describe, expect, it } from 'vitest';
import { benchSheet } from '../../src/tones/bench-sheet.ts';
import { stickFiles } from '../../src/tones/stick-files.ts';
import { takeList } from '../../src/tones/take-list.ts';

const files = [...stickFiles(44_100), ...stickFiles(48_000)];

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

  it('has low, middle and high and one linking take on each further pair', () => {
    for (const pair of ['B', 'C', 'D']) {
      expect(ofPair(pair).map(({ setting }) => setting)).toEqual([10, 22, 38]);
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
    for (const { what } of takeList([10, 22, 38])) expect(html).toContain(`<td>${what}</td>`);
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
      'Supply V',
      'DC to chassis',
      'bass at centre',
      'treble at centre',
      'balance at centre',
      'fade at centre',
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

describe('stickFiles', () => {
  it('gives each of 11 sounds at each rate a plain name of its own', () => {
    const names = files.map(({ name }) => name);
    expect(new Set(names).size).toBe(22);
    expect(names).toContain('steptone-full-track-48k.wav');
    for (const name of names) expect(name).toMatch(/^steptone-[a-z0-9-]+-(44|48)k\.wav$/);
  });
});
