import type { Results } from '../model/results.ts';
import { bassCharts } from './charts/bass-charts.ts';
import type { ChartGroup } from './charts/chart-group.ts';
import { distortionCharts } from './charts/distortion-charts.ts';
import { inShort } from './charts/in-short.ts';
import { levelCharts } from './charts/level-charts.ts';
import { noiseCharts } from './charts/noise-charts.ts';
import { responseCharts } from './charts/response-charts.ts';
import { restorationCharts } from './charts/restoration-chart.ts';
import { sumCharts } from './charts/sum-charts.ts';

/** Every picture of the report, by subject; subjects without any are left out. */
export function chartGroups(results: Results): ChartGroup[] {
  const groups = [
    {
      id: 'pictures-bass',
      title: 'What happens to the bass',
      lead: '',
      charts: [...bassCharts(results), ...restorationCharts(results)],
    },
    {
      id: 'pictures-response',
      title: 'What each tap carries, setting by setting',
      lead: 'One curve a setting: where they part, the radio changes the sound with the volume.',
      charts: responseCharts(results),
    },
    { id: 'pictures-sum', title: 'Taps and their sum', lead: '', charts: sumCharts(results) },
    { id: 'pictures-level', title: 'How loud, and where it clips', lead: '', charts: levelCharts(results) },
    {
      id: 'pictures-distortion',
      title: 'Distortion against drive',
      lead: '',
      charts: distortionCharts(results),
    },
    { id: 'pictures-noise', title: 'Noise', lead: '', charts: noiseCharts(results) },
  ];
  return inShort(groups.filter(({ charts }) => charts.length > 0));
}
