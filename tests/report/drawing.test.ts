import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/model/chain.ts';
import { asWritten } from '../../src/model/reason.ts';
import type { Results } from '../../src/model/results.ts';
import { chainDrawing } from '../../src/report/drawing/chain-drawing.ts';
import { tapLabelOf } from '../../src/report/tap-label.ts';
import { exampleResults, exampleWithLabel } from './example-results.ts';

const results = exampleResults();
const chain = results.chain as Chain;
const drawn = (given: Results, state: 'found' | 'planned' | 'brief' = 'planned') =>
  chainDrawing(given, tapLabelOf(given), state).text;
const withChain = (own: Partial<Chain>): Results => ({ ...results, chain: { ...chain, ...own } });
/** The three shapes of one drawing. */
const shapesOf = (text: string) =>
  [...text.matchAll(/<svg class="chain[\s\S]*?<\/svg>/g)].map(([svg]) => svg);
const count = (text: string, part: string) => text.split(part).length - 1;

describe('the drawing of the chain', () => {
  it('has three shapes, each with every output and every feed.', () => {
    const shapes = shapesOf(drawn(results));
    expect(shapes).toHaveLength(3);
    for (const svg of shapes) {
      for (const { label } of results.session.taps) expect(svg).toContain(label);
      for (const { output } of chain.feeds) expect(svg.toLowerCase()).toContain(`>${output}<`);
    }
  });

  it('crosses over as many pairs as the plan swaps, and sums as many sides as it sums.', () => {
    const taps = chain.feeds.flatMap(({ sides }) => sides.flatMap((side) => side.taps));
    const sides = chain.feeds.flatMap((feed) => feed.sides.filter(({ summed }) => summed));
    const [wide] = shapesOf(drawn(results));
    expect(count(wide, 'swap +/')).toBe(taps.filter(({ polarity }) => polarity === 'inverted').length);
    expect(count(wide, '>sum<')).toBe(sides.length);
  });

  it('marks in form and word where the chain clips first.', () => {
    const at = (clipsFirst: Chain['feeds'][number]['clipsFirst']) =>
      shapesOf(drawn(withChain({ feeds: chain.feeds.map((feed) => ({ ...feed, clipsFirst })) })))[0];
    expect(at('converter output')).toMatch(/class="node first"\/><text[^>]*>Converter</);
    expect(at('amplifier output')).toMatch(/class="node first"\/><text[^>]*>[^<]*[Aa]mplifier</);
    // Feeds that share an amplifier share its mark.
    const amplifiers = new Set(chain.feeds.map(({ amplifier }) => amplifier?.name));
    expect(count(at('amplifier output'), 'clips first')).toBe(amplifiers.size);
    expect(at(null)).not.toContain('clips first');
  });

  it('prints no volts behind an output, and why, where there are no gains.', () => {
    const feeds = chain.feeds.map((feed) => ({ ...feed, noGains: [asWritten('every setting clips')] }));
    const [wide] = shapesOf(drawn(withChain({ feeds })));
    expect(count(wide, 'class="volts"')).toBe(chain.taps.length);
    expect(wide).toContain('No gain yet: every setting clips.');
    expect(wide).not.toMatch(/level |gain at /);
  });

  it('shares one box among feeds that go through one part, and marks where it clips first.', () => {
    const feeds = chain.feeds.map((feed, i) => ({
      ...feed,
      conditions: [],
      clipsFirst: i === 0 ? ('converter output' as const) : null,
    }));
    const [wide] = shapesOf(drawn(withChain({ feeds })));
    expect(count(wide, '>Converter<')).toBe(1);
    expect(count(wide, 'clips first')).toBe(1);
    const amplifiers = new Set(chain.feeds.map(({ amplifier }) => amplifier?.name));
    expect(count(wide, 'amplifier<')).toBe(amplifiers.size);
  });

  it('names the fuse that is there where it is the right one, else the one to fit.', () => {
    const fuse = (own: Partial<NonNullable<Chain['supply']>>) =>
      /class="fuse">([^<]*)</.exec(drawn(withChain({ supply: { ...chain.supply!, ...own } })))?.[1];
    const fitted = (verdict: 'right' | 'too large') => ({ fittedFuse: { amps: 150, verdict } });
    expect(fuse({ fuseAmps: 125, ...fitted('right') })).toBe('150 A fuse');
    expect(fuse({ fuseAmps: 125, ...fitted('too large') })).toBe('125 A fuse');
    expect(fuse({ fuseAmps: null, fittedFuse: null, fuseAtLeastAmps: 92 })).toBe('fuse ≥ 92 A');
  });

  it('is brief on the first screen: a left and a right output that are alike are one, and a swap names its side.', () => {
    const [wide] = shapesOf(drawn(results, 'brief'));
    const boxes = (svg: string) => count(svg, 'class="node');
    expect(boxes(wide)).toBeLessThan(boxes(shapesOf(drawn(results))[0]));
    expect(wide).toMatch(/>rear[,<]/);
    expect(wide).not.toContain('rear left');
    expect(count(wide, 'swap right +/')).toBe(1);
    const louder = chain.taps.map((tap) =>
      tap.tapId === 'rear-l' ? { ...tap, voltsRms: { value: 9, plusMinus: 0.1 } } : tap,
    );
    expect(shapesOf(drawn(withChain({ taps: louder }), 'brief'))[0]).toContain('>rear left<');
  });

  it('keeps boxes apart and inside, whatever the number of outputs and feeds.', () => {
    for (let outputs = 1; outputs <= 8; outputs++) {
      for (let feeds = 1; feeds <= 3; feeds++) {
        const taps = Array.from({ length: outputs }, (_, i) => ({ ...chain.taps[i % 6], tapId: `t${i}` }));
        const made = Array.from({ length: feeds }, (_, f) => ({
          ...chain.feeds[f % chain.feeds.length],
          sides: [
            {
              side: 'both' as const,
              summed: f === 0,
              waitsSeconds: 0,
              equalizer: [],
              taps: taps
                .filter((_, i) => i % feeds === f || outputs < feeds)
                .map(({ tapId }) => ({ tapId, polarity: 'inverted' as const, trimDb: -2, delaySeconds: 0 })),
            },
          ],
        }));
        for (const svg of shapesOf(drawn(withChain({ taps, feeds: made })))) {
          const boxes = [
            ...svg.matchAll(
              /<rect x="([\d.-]+)" y="([\d.-]+)" width="([\d.]+)" height="([\d.]+)" class="node/g,
            ),
          ].map(([, ...sides]) => sides.map(Number));
          const [, width, height] = (/viewBox="-2 0 ([\d.]+) ([\d.]+)"/.exec(svg) ?? []).map(Number);
          for (const [x, y, w, h] of boxes) {
            expect(x + w).toBeLessThanOrEqual(width);
            expect(y + h).toBeLessThanOrEqual(height);
          }
          const touching = boxes.flatMap((a, i) =>
            boxes
              .slice(i + 1)
              .filter(
                (b) => a[0] < b[0] + b[2] && b[0] < a[0] + a[2] && a[1] < b[1] + b[3] && b[1] < a[1] + a[3],
              ),
          );
          expect(touching, `${outputs} outputs, ${feeds} feeds`).toEqual([]);
        }
      }
    }
  });

  it('shows the car as it was found: a factory speaker behind each output, and what was found of it.', () => {
    const [wide] = shapesOf(drawn(results, 'found'));
    expect(count(wide, 'speaker<')).toBe(chain.taps.length);
    expect(wide).toContain('bass cut from about 20');
    expect(wide).not.toContain('Converter');
  });

  it('keeps text of the user as text, and is nothing without a solved chain.', () => {
    expect(drawn(exampleWithLabel('<b>'))).not.toContain('<b>');
    expect(drawn({ ...results, chain: undefined })).toBe('');
  });
});
