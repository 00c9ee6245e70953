import type { Results } from '../../../src/model/results.ts';
import type { Chart } from '../../../src/report/charts/figure.ts';
import { chartGroups } from '../../../src/report/charts.ts';
import { exampleResults } from '../example-results.ts';

export const results = exampleResults();
export const charts = chartsOf(results);

export function chartsOf(some: Results): Chart[] {
  return chartGroups(some).flatMap((group) => group.charts);
}

export function chart(id: string): Chart {
  const found = charts.find((one) => one.id === id);
  if (found === undefined)
    throw new Error(`no picture ${id} among ${charts.map((one) => one.id).join(', ')}`);
  return found;
}
