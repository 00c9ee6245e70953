import { describe, expect, it } from 'vitest';
import type { Axis, Figure } from '../../src/report/charts/figure.ts';
import { chartGroups } from '../../src/report/charts.ts';
import { legend } from '../../src/report/still/legend.ts';
import { cssColor } from '../../src/report/still/marks.ts';
import { scaleOf } from '../../src/report/still/scale.ts';
import { stillPicture } from '../../src/report/still/still-picture.ts';
import { withoutStraights } from '../../src/report/still/without-straights.ts';
import { exampleResults, exampleWithLabel } from './example-results.ts';

const charts = chartGroups(exampleResults()).flatMap((group) => group.charts);
const axis = (own: Partial<Axis>): Axis => ({ title: { text: '' }, ...own });

describe('a scale', () => {
  it('puts values where they belong, linear and logarithmic', () => {
    const linear = scaleOf(axis({ range: [-36, 12], dtick: 6 }), [], [270, 14]);
    expect(linear.at(-36)).toBe(270);
    expect(linear.at(12)).toBe(14);
    expect(linear.at(-12)).toBe(142);
    const log = scaleOf(axis({ type: 'log', range: [1, 4], tickvals: [10, 100, 1e5] }), [], [0, 300]);
    expect(log.at(1000)).toBe(200);
    expect(log.ticks.map(({ at }) => at)).toEqual([0, 100]);
  });

  it('counts in round numbers, with true minus signs', () => {
    expect(scaleOf(axis({}), [-10.47, 0], [0, 100]).ticks.map(({ text }) => text)).toEqual([
      '\u221210',
      '\u22128',
      '\u22126',
      '\u22124',
      '\u22122',
      '0',
    ]);
  });

  it('places names in their order, downwards where the axis is turned round', () => {
    const names = scaleOf(
      axis({ type: 'category', autorange: 'reversed' }),
      ['tap', 'input', 'tap'],
      [100, 0],
    );
    expect(names.at('tap')).toBeLessThan(names.at('input'));
  });
});

describe('a line without its straights', () => {
  it('keeps the ends of a straight and the corners of a bent one', () => {
    const straight = Array.from({ length: 50 }, (_, x) => ({ x, y: 2 * x }));
    expect(withoutStraights(straight)).toEqual([straight[0], straight[49]]);
    const bent = straight.map(({ x }) => ({ x, y: Math.abs(x - 20) }));
    expect(withoutStraights(bent).map(({ x }) => x)).toEqual([0, 20, 49]);
  });

  it('stays within half a pixel of every point that it leaves out', () => {
    const curve = Array.from({ length: 200 }, (_, x) => ({ x, y: 40 * Math.sin(x / 15) }));
    const kept = withoutStraights(curve);
    expect(kept.length).toBeLessThan(100);
    for (const { x, y } of curve) {
      const after = Math.max(
        1,
        kept.findIndex((point) => point.x >= x),
      );
      const [a, b] = [kept[after - 1], kept[after]];
      expect(Math.abs(a.y + ((x - a.x) * (b.y - a.y)) / (b.x - a.x) - y)).toBeLessThanOrEqual(0.51);
    }
  });
});

describe('a still picture', () => {
  it('draws every curve of every picture, with finite places', () => {
    for (const { figure } of charts) {
      const { text } = stillPicture(figure);
      expect(text).not.toMatch(/NaN|Infinity|undefined/);
      const drawn = [...text.matchAll(/<g style=/g)].length;
      expect(drawn).toBe(figure.data.filter(({ type }) => type === 'scatter').length);
    }
  });

  it('puts the curve where its numbers are', () => {
    const figure: Figure = {
      data: [{ type: 'scatter', name: 'a', mode: 'lines', x: [0, 10, 10, 20], y: [0, 10, null, 10] }],
      layout: {
        xaxis: axis({ range: [0, 20] }),
        yaxis: axis({ range: [0, 10] }),
        height: 300,
        hovermode: 'closest',
        showlegend: false,
      },
    };
    // The frame reaches from 54 to 408 across and from 12 to 194 down; a gap begins the line anew.
    expect(stillPicture(figure).text).toContain('d="M54 194L231 12M408 12"');
  });

  it('has colours of the style sheet only, so that light, dark and paper show it', () => {
    expect(cssColor('--ink')).toBe('var(--ink)');
    expect(cssColor('ramp(0.40)')).toContain('40%');
    for (const { figure } of charts) expect(stillPicture(figure).text).not.toMatch(/#[0-9a-f]{3}|rgb\(/);
  });

  it('names its curves once, at their ends or in a legend, and keeps the names of taps as text', () => {
    const named = chartGroups(exampleWithLabel('<img src=x>')).flatMap((group) => group.charts);
    for (const { figure } of named) {
      const { text } = stillPicture(figure);
      const inLegend = [...legend(figure).text.matchAll(/<li>/g)].length;
      const atEnds = [...text.matchAll(/class="leader"/g)].length;
      const names = figure.layout.showlegend
        ? figure.data.filter(({ showlegend }) => showlegend !== false).length
        : 0;
      expect(inLegend + atEnds).toBe(names);
      expect(text).not.toContain('<img');
    }
    const law = named.find(({ id }) => id === 'volume-law');
    expect(stillPicture(law?.figure as Figure).text + legend(law?.figure as Figure).text).toContain(
      '&lt;img src=x&gt;',
    );
  });

  it('keeps names at the ends of curves apart and inside the picture', () => {
    const ends = [0, 1.5, 3, 9.9];
    const figure: Figure = {
      data: ends.map((end, i) => ({ type: 'scatter', name: `n${i}`, mode: 'lines', x: [0, 1], y: [5, end] })),
      layout: {
        xaxis: axis({ range: [0, 1] }),
        yaxis: axis({ range: [0, 10] }),
        height: 300,
        hovermode: 'closest',
        showlegend: true,
      },
    };
    const ys = [...stillPicture(figure).text.matchAll(/<text x="[\d.]+" y="([\d.]+)" style/g)].map(([, y]) =>
      Number(y),
    );
    expect(ys).toHaveLength(4);
    expect(Math.min(...ys.slice(1).map((y, i) => y - ys[i]))).toBeGreaterThanOrEqual(13);
    expect(Math.max(...ys)).toBeLessThanOrEqual(240);
  });
});
