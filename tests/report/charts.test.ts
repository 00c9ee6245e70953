import { describe, expect, it } from 'vitest';
import { seriesStyle, settingStyle } from '../../src/report/charts/curve-style.ts';
import type { Chart, Trace } from '../../src/report/charts/figure.ts';
import { plotText } from '../../src/report/charts/figure.ts';
import { chartGroups } from '../../src/report/charts.ts';
import { charts, chartsOf, results } from './charts/charts-of.ts';
import { exampleNotKnown, exampleWithLabel } from './example-results.ts';

describe('every picture', () => {
  it('covers what the report promises', () => {
    expect(chartGroups(results).map(({ id }) => id)).toEqual([
      'pictures-bass',
      'pictures-response',
      'pictures-sum',
      'pictures-level',
      'pictures-distortion',
      'pictures-noise',
    ]);
  });

  it('has an address of its own, a title and a table as wide as its head', () => {
    expect(new Set(charts.map(({ id }) => id)).size).toBe(charts.length);
    for (const { title, tables } of charts) {
      expect(title).not.toBe('');
      expect(tables.length).toBeGreaterThan(0);
      for (const { rows, columns } of tables) {
        expect(rows.length).toBeGreaterThan(0);
        expect(rows.every((row) => row.length === columns.length)).toBe(true);
      }
    }
  });

  it('holds finite numbers or gaps, and as many abscissae as ordinates', () => {
    for (const { data } of figuresOf(charts)) {
      for (const { type, x, y, z } of data) {
        expect(
          [...x, ...y, ...(z ?? []).flat()].every(
            (value) => typeof value !== 'number' || Number.isFinite(value),
          ),
        ).toBe(true);
        if (type === 'scatter') expect(x.length).toBe(y.length);
      }
    }
  });

  it('does not spread thousandths of a decibel over the whole height of the bass', () => {
    const findings = results.findings.map((finding) =>
      finding.kind === 'bass-change'
        ? {
            ...finding,
            verdict: 'steady' as const,
            onset: null,
            changes: finding.changes.map((change) => ({
              ...change,
              changeDb: change.changeDb.map(() => ({ value: 0.001, plusMinus: 0.0005 })),
            })),
          }
        : finding,
    );
    const [steady] = chartsOf({ ...results, findings }).filter(({ title }) =>
      title.startsWith('How much bass'),
    );
    expect(steady.figure.layout.yaxis?.range).toEqual([-1, 1]);
    const [falling] = charts.filter(({ title }) => title.startsWith('How much bass'));
    expect(falling.figure.layout.yaxis?.range).toBeUndefined();
  });

  it('shows only findings and recommendations that are there', () => {
    const ids = new Set([...results.findings, ...results.recommendations].map(({ id }) => id));
    expect(charts.flatMap(({ shows }) => shows).filter((id) => !ids.has(id))).toEqual([]);
  });

  it('tells its curves apart without colour: no two share both dash and mark', () => {
    for (const { data } of figuresOf(charts)) {
      const looks = data
        .filter(({ type, showlegend }) => type === 'scatter' && showlegend !== false)
        .map(lookOf);
      expect(new Set(looks).size).toBe(looks.length);
    }
    expect(new Set(Array.from({ length: 10 }, (_, i) => lookOf(settingStyle(i, 10)))).size).toBe(10);
    expect(new Set(Array.from({ length: 10 }, (_, i) => lookOf(seriesStyle(i)))).size).toBe(10);
  });

  it('leaves text of the user as text', () => {
    expect(plotText('<b>left</b> & <script>')).toBe('&lt;b&gt;left&lt;/b&gt; &amp; &lt;script&gt;');
    const named = chartsOf(exampleWithLabel('<a href="x">tap</a>'));
    const names = figuresOf(named).flatMap(({ data }) => data.map(({ name }) => name));
    expect(names.some((name) => name.includes('&lt;a href'))).toBe(true);
    expect(names.every((name) => !name.includes('<'))).toBe(true);
  });

  it('lays the curves of an output of bass alone where each lost least: a loss is no added treble', () => {
    // Bass alone, below 120 Hz; 6 dB lost at 40 Hz from setting 30 on, nothing from 80 Hz up.
    const bass = (setting: number) =>
      [...results.frequencyHz].map(
        (hz) => -24 * Math.max(0, Math.log2(hz / 120)) - (setting < 30 || hz > 60 ? 0 : 6),
      );
    const measurements = results.measurements
      .filter(({ tapId }) => tapId === 'rear-l')
      .map((one) => ({ ...one, left: { ...one.left, magnitudeDb: bass(one.setting) } }));
    const { figure } = chartsOf({ ...results, measurements }).find(({ id }) => id === 'response-5') as Chart;
    const at = (name: RegExp, hz: number) => {
      const trace = figure.data.find((one) => name.test(one.name)) as Trace;
      return trace.y[trace.x.findIndex((x) => Number(x) >= hz)];
    };
    expect(at(/30|38/, 80)).toBeCloseTo(Number(at(/10/, 80)), 1);
    expect(at(/30|38/, 40)).toBeCloseTo(Number(at(/10/, 40)) - 6, 1);
  });

  it('lays the curves of a full-range output by its middle, though its bass is lifted by 9 dB at the lowest setting', () => {
    const lifted = (setting: number) =>
      [...results.frequencyHz].map((hz) => setting - (setting > 10 || hz > 100 ? 0 : -9));
    const measurements = results.measurements
      .filter(({ tapId }) => tapId === 'rear-l')
      .map((one) => ({ ...one, left: { ...one.left, magnitudeDb: lifted(one.setting) } }));
    const { figure } = chartsOf({ ...results, measurements }).find(({ id }) => id === 'response-5') as Chart;
    const [lowest, next] = figure.data;
    const at = ({ x, y }: Trace, hz: number) => y[x.findIndex((one) => Number(one) >= hz)];
    expect([at(lowest, 40), at(lowest, 1000), at(next, 40), at(next, 1000)]).toEqual([9, 0, 0, 0]);
  });

  it('is left out where its findings are missing', () => {
    expect(chartGroups({ ...exampleNotKnown(), measurements: [] })).toEqual([]);
  });
});

function figuresOf(some: readonly Chart[]) {
  return some.flatMap(({ figure, figureInDbu }) => (figureInDbu === null ? [figure] : [figure, figureInDbu]));
}

function lookOf({ line, marker }: Pick<Trace, 'line' | 'marker'>): string {
  return JSON.stringify([line?.dash, marker?.symbol]);
}
