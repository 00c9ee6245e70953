import type { Results } from '../../model/results.ts';
import { formatSetting, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { decibelCell, type RelativeCurve, relativeCurves, tapNumber } from './curves.ts';
import {
  type Chart,
  type ChartTable,
  frequencyAxis,
  rounded,
  roundedOrNull,
  settingStyle,
} from './figure.ts';

/** Every fourth point of the grid: 40 a decade, finer than a screen shows. */
const POINT_STEP = 4;
/** Every sixteenth point is a third-octave midband frequency. */
const TABLE_STEP = 16;
const FROM_HZ = 18;
const TO_HZ = 20_500;
/** Below this the curve is out of the picture; the table still has it. */
const LOWEST_DB = -36;
const HIGHEST_DB = 12;

/** Response of each tap, one curve a setting, laid over one another at the level of the tap's own band. */
export function responseCharts(results: Results): Chart[] {
  return results.session.taps.flatMap((tap) => responseChart(results, tap.id, tap.label) ?? []);
}

function responseChart(results: Results, tapId: string, label: string): Chart | null {
  const curves = relativeCurves(results, tapId);
  if (curves.length === 0) return null;
  const { frequencyHz } = results;
  const shown = frequencyHz.flatMap((hz, i) =>
    i % POINT_STEP === 0 && hz >= FROM_HZ && hz <= TO_HZ ? [i] : [],
  );
  return {
    id: `response-${tapNumber(results, tapId)}`,
    title: `Response of ${label}`,
    caption: say``,
    figure: {
      data: curves.map(({ setting, curve }, i) => ({
        type: 'scatter',
        name: `setting ${formatSetting(setting)}`,
        x: shown.map((point) => rounded(frequencyHz[point])),
        y: shown.map((point) => roundedOrNull(curve[point])),
        ...settingStyle(i, curves.length),
        hovertemplate: '%{y:.1f} dB',
      })),
      layout: {
        xaxis: frequencyAxis(FROM_HZ, TO_HZ),
        yaxis: {
          title: { text: 'Level against its own band, dB' },
          range: [LOWEST_DB, HIGHEST_DB],
          dtick: 6,
        },
        height: 380,
        hovermode: 'x unified',
        showlegend: true,
      },
    },
    figureInDbu: null,
    table: responseTable(frequencyHz, curves),
    shows: results.findings
      .filter((finding) => finding.tapIds.includes(tapId) && SHOWN_KINDS.has(finding.kind))
      .map(({ id }) => id),
  };
}

const SHOWN_KINDS = new Set([
  'bass-change',
  'loudness-contour',
  'band',
  'crossover',
  'common-ceiling',
  'routing',
]);

function responseTable(frequencyHz: readonly number[], curves: readonly RelativeCurve[]): ChartTable {
  const rows = frequencyHz.flatMap((hz, i) =>
    i % TABLE_STEP === 0 && hz >= FROM_HZ && hz <= TO_HZ
      ? [[plainHz(hz), ...curves.map(({ curve }) => decibelCell(curve[i]))]]
      : [],
  );
  return { columns: ['Frequency', ...curves.map(({ setting }) => `${formatSetting(setting)}, dB`)], rows };
}
