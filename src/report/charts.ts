import type { Results } from '../model/results.ts';
import { bassCharts } from './charts/bass-charts.ts';
import { chainCharts } from './charts/chain-charts.ts';
import { distortionCharts } from './charts/distortion-charts.ts';
import type { Chart } from './charts/figure.ts';
import { levelCharts } from './charts/level-charts.ts';
import { noiseCharts } from './charts/noise-charts.ts';
import { responseCharts } from './charts/response-charts.ts';
import { sumCharts } from './charts/sum-charts.ts';

/** Pictures on one subject. */
export interface ChartGroup {
  readonly id: string;
  readonly title: string;
  readonly charts: readonly Chart[];
}

/** Every picture of the report, by subject; subjects without any are left out. */
export function chartGroups(results: Results): ChartGroup[] {
  const groups = [
    { id: 'pictures-bass', title: 'What happens to the bass', charts: bassCharts(results) },
    {
      id: 'pictures-response',
      title: 'What each tap carries, setting by setting',
      charts: responseCharts(results),
    },
    { id: 'pictures-sum', title: 'Taps and their sum', charts: sumCharts(results) },
    { id: 'pictures-level', title: 'How loud, and where it clips', charts: levelCharts(results) },
    { id: 'pictures-distortion', title: 'Distortion against drive', charts: distortionCharts(results) },
    { id: 'pictures-chain', title: 'The chain, with volts and headroom', charts: chainCharts(results) },
    { id: 'pictures-noise', title: 'Noise', charts: noiseCharts(results) },
  ];
  return groups.filter(({ charts }) => charts.length > 0);
}
