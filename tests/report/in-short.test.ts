import { expect, it } from 'vitest';
import { inShort } from '../../src/report/charts/in-short.ts';
import { chartGroups } from '../../src/report/charts.ts';
import { renderReport } from '../../src/report/render-report.ts';
import { exampleResults } from './example-results.ts';
import { hugeResults, largeResults } from './large-results.ts';
import { reportAssets } from './report-assets.ts';

it.each([
  ['six taps at eight settings', exampleResults],
  ['eight taps at ten settings', largeResults],
])('leaves the pictures of %s as they are', (_, make) => {
  const charts = chartGroups(make()).flatMap((group) => group.charts);
  expect(charts.flatMap(({ tables }) => tables).filter(({ note }) => note !== undefined)).toEqual([]);
});

it('keeps a page of 16 taps at 64 settings below 20,000 elements, and says what was left out', () => {
  const results = hugeResults();
  const page = renderReport(results, reportAssets()).replace(/<script[\s\S]*?<\/script>/g, '');
  expect(page.match(/<[a-z]/g)?.length).toBeLessThan(20_000);
  const charts = chartGroups(results).flatMap((group) => group.charts);
  const short = charts.flatMap(({ tables }) => tables).filter(({ note }) => note !== undefined);
  expect(short.length).toBeGreaterThan(16);
  for (const { columns, rows, note } of short) {
    expect(rows.every((row) => row.length === columns.length)).toBe(true);
    expect(note).toMatch(new RegExp(`^${rows.length} of \\d+ rows, ${columns.length - 1} of \\d+ columns`));
  }
  expect(page).toMatch(/10 of \d+ curves are drawn\./);
});

it('keeps the first and the last row and column, and each name in all panels or in none', () => {
  const [chart] = chartGroups(exampleResults()).flatMap((group) => group.charts);
  const columns = Array.from({ length: 101 }, (_, i) => `c${i}`);
  const rows = Array.from({ length: 501 }, (_, i) => columns.map((column) => `r${i} ${column}`));
  const trace = { type: 'scatter', x: [1], y: [1] } as const;
  const data = Array.from({ length: 500 }, (_, i) => ({
    ...trace,
    name: `${i % 250}`,
    panel: Math.floor(i / 250),
  }));
  const long = { ...chart, tables: [{ columns, rows }], figure: { ...chart.figure, data } };
  const [{ charts }] = inShort([{ id: 'a', title: 'a', lead: '', charts: [long] }]);
  const [{ tables, figure }] = charts;
  const [table] = tables;
  const last = table.rows.length - 1;
  expect([table.columns[0], table.columns.at(-1)]).toEqual(['c0', 'c100']);
  expect([table.rows[0][0], table.rows[last].at(-1)]).toEqual(['r0 c0', 'r500 c100']);
  expect(table.columns.length * table.rows.length).toBeLessThan(5500);
  const names = figure.data.map(({ name }) => name);
  expect([names[0], names[9]]).toEqual(['0', '249']);
  expect(names.slice(10)).toEqual(names.slice(0, 10));
});
