import { say } from '../sentence.ts';
import type { ChartGroup } from './chart-group.ts';
import type { Chart, ChartTable, Figure } from './figure.ts';

/** Cells of all tables together up to which they are whole: those of 8 taps at 10 settings. */
const MOST_CELLS = 8000;
/** What is left of more: with what else is on it, a page stays below 20 000 elements (`tests/report/charts.test.ts`). */
const CELLS_IN_SHORT = 5000;
/** Curves of all pictures together; 8 taps at 10 settings have some 200. */
const MOST_CURVES = 400;
/** More curves than this in one picture are not told apart. */
const CURVES_APART = 10;
/** A table of fewer rows or columns says nothing any more. */
const FEWEST = 4;

/**
 * Pictures of a large session, so that the page stays one that opens at once: of many curves some, of long tables every
 * so many rows and columns, each with a word that it is so. Those of other sessions are left as they are.
 */
export function inShort(groups: readonly ChartGroup[]): ChartGroup[] {
  const charts = groups.flatMap((group) => group.charts);
  const cells = charts.flatMap(({ tables }) => tables).reduce((sum, table) => sum + cellsOf(table), 0);
  const curves = charts.reduce((sum, { figure }) => sum + figure.data.length, 0);
  const share = cells > MOST_CELLS ? Math.sqrt(CELLS_IN_SHORT / cells) : 1;
  return groups.map((group) => ({
    ...group,
    charts: group.charts.map((chart) => {
      const drawn = curves > MOST_CURVES ? withFewerCurves(chart) : chart;
      return share === 1
        ? drawn
        : { ...drawn, tables: drawn.tables.map((table) => shortTable(table, share)) };
    }),
  }));
}

function cellsOf({ columns, rows }: ChartTable): number {
  return columns.length * (rows.length + 1);
}

/** The first and the last curve, and others evenly between them; a name stays in every panel or in none. */
function withFewerCurves(chart: Chart): Chart {
  const names = namesOf(chart.figure);
  if (names.length <= CURVES_APART) return chart;
  const kept = new Set(evenly(names, CURVES_APART));
  const fewer = (figure: Figure): Figure => ({
    ...figure,
    data: figure.data.filter(({ name, type }) => type === 'contour' || kept.has(name)),
  });
  return {
    ...chart,
    caption: say`${chart.caption}${chart.caption.length === 0 ? '' : ' '}${kept.size} of ${names.length} curves are drawn.`,
    figure: fewer(chart.figure),
    figureInDbu: chart.figureInDbu === null ? null : fewer(chart.figureInDbu),
  };
}

function namesOf({ data }: Figure): string[] {
  return [...new Set(data.flatMap(({ name, type }) => (type === 'contour' ? [] : [name])))];
}

function shortTable(table: ChartTable, share: number): ChartTable {
  const { columns, rows } = table;
  const [first, ...others] = columns.keys();
  const across = [first, ...evenly(others, Math.max(FEWEST, Math.floor(others.length * share)))];
  const down = evenly(rows, Math.max(FEWEST, Math.floor(rows.length * share)));
  if (across.length === columns.length && down.length === rows.length) return table;
  return {
    ...table,
    note: `${down.length} of ${rows.length} rows, ${across.length - 1} of ${others.length} columns; steptone curves writes all.`,
    columns: across.map((column) => columns[column]),
    rows: down.map((row) => across.map((column) => row[column])),
  };
}

/** So many of the items, the first and the last among them. */
function evenly<Item>(items: readonly Item[], most: number): Item[] {
  if (items.length <= most) return [...items];
  return Array.from({ length: most }, (_, i) => items[Math.round((i * (items.length - 1)) / (most - 1))]);
}
