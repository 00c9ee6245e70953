import { type RecommendationOf, recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { formatSetting, plainDb, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { mergedSettings, settingSpan } from './alike.ts';
import { settingStyle } from './curve-style.ts';
import { decibelCell } from './curves.ts';
import {
  type Chart,
  type ChartTable,
  type Figure,
  frequencyAxis,
  rounded,
  roundedOrNull,
  type Trace,
} from './figure.ts';

const LEAST_SPAN_DB = -9;
const HIGHEST_DB = 6;

/** Bass of the subwoofer feed at each setting, without the restoration and as it is predicted with it. */
export function restorationCharts(results: Results): Chart[] {
  return recommendationsOf(results.recommendations, 'restoration').flatMap((item) => {
    const { predicted } = item;
    if (item.verdict !== 'restore' || predicted === undefined || predicted.settings.length === 0) return [];
    return [
      {
        id: 'restoration-before-after',
        title: 'Does restoration bring the bass back?',
        caption: say`The subwoofer feed up to the highest clean setting, without and with ${plainDb(item.amountDb)} at ${plainHz(item.atHz)}. Predicted: a take behind the converter proves it.`,
        figure: beforeAndAfter(predicted),
        figureInDbu: null,
        tables: [changeTable(predicted)],
        shows: [item.id],
      },
    ];
  });
}

type Predicted = NonNullable<RecommendationOf<'restoration'>['predicted']>;

function beforeAndAfter({ frequencyHz, settings }: Predicted): Figure {
  const before = settings.map(({ setting, beforeDb }) => ({ setting, curve: beforeDb }));
  const after = settings.map(({ setting, afterDb }) => ({ setting, curve: afterDb }));
  const lowest = Math.min(LEAST_SPAN_DB, ...before.flatMap(({ curve }) => curve)) - 1;
  const highest = Math.max(HIGHEST_DB, ...after.flatMap(({ curve }) => curve)) + 1;
  // Merged by what the radio leaves: that is what tells the settings apart.
  const shown = mergedSettings(before);
  const data = [before, after].flatMap((curves, panel) =>
    shown.map(({ settings: same }, i): Trace => {
      const curve = curves.find(({ setting }) => setting === same.at(-1))?.curve ?? [];
      const name = settingSpan(same);
      return {
        type: 'scatter',
        name,
        panel,
        legendgroup: name,
        showlegend: panel === 0,
        x: frequencyHz.map(rounded),
        y: curve.map(roundedOrNull),
        ...settingStyle(i, shown.length),
        hovertemplate: '%{y:.1f} dB',
      };
    }),
  );
  return {
    data,
    layout: {
      panels: ['as the radio gives it', 'with restoration, predicted'],
      xaxis: frequencyAxis(frequencyHz[0], frequencyHz[frequencyHz.length - 1]),
      yaxis: { title: { text: 'Change, dB' }, range: [rounded(lowest), rounded(highest)], dtick: 3 },
      height: 300,
      hovermode: 'x unified',
      showlegend: true,
    },
  };
}

function changeTable({ frequencyHz, settings }: Predicted): ChartTable {
  return {
    columns: [
      'Frequency',
      ...settings.flatMap(({ setting }) => [
        `${formatSetting(setting)} before, dB`,
        `${formatSetting(setting)} after, dB`,
      ]),
    ],
    rows: frequencyHz.map((hz, i) => [
      plainHz(hz),
      ...settings.flatMap(({ beforeDb, afterDb }) => [decibelCell(beforeDb[i]), decibelCell(afterDb[i])]),
    ]),
  };
}
