import type { Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import { formatSetting, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { capitalised } from '../wording/statement.ts';
import { alikeGroups, apartDb, mergedSettings, SAME_CURVE_DB, settingSpan, twinsText } from './alike.ts';
import { settingStyle } from './curve-style.ts';
import { decibelCell, type RelativeCurve, relativeCurves, tapNumber } from './curves.ts';
import { type Chart, type ChartTable, frequencyAxis, rounded, roundedOrNull } from './figure.ts';

/** Every fourth point of the grid: 40 a decade, finer than a screen shows. */
const POINT_STEP = 4;
/** Every sixteenth point is a third-octave midband frequency. */
const TABLE_STEP = 16;
const FROM_HZ = 18;
const TO_HZ = 20_500;
/** Below this the curve is out of the picture; the table still has it. */
const LOWEST_DB = -36;
const HIGHEST_DB = 12;

interface TapCurves {
  readonly tapId: string;
  readonly label: string;
  readonly curves: readonly RelativeCurve[];
}

/** Response of each tap, laid over one another at the level of the tap's own band; taps that look alike share a picture. */
export function responseCharts(results: Results): Chart[] {
  const taps = results.session.taps
    .map(({ id, label }) => ({ tapId: id, label, curves: relativeCurves(results, id) }))
    .filter(({ curves }) => curves.length > 0);
  return alikeGroups(taps, (a, b) => tapsApartDb(a, b) < SAME_CURVE_DB).map((group) =>
    responseChart(results, group),
  );
}

/** Infinite where the two were not recorded at the same settings. */
function tapsApartDb(a: TapCurves, b: TapCurves): number {
  if (a.curves.length !== b.curves.length) return Number.POSITIVE_INFINITY;
  const distances = a.curves.map(({ setting, curve }, i) =>
    b.curves[i].setting === setting ? apartDb(curve, b.curves[i].curve) : Number.POSITIVE_INFINITY,
  );
  return Math.max(...distances);
}

function responseChart(results: Results, group: readonly [TapCurves, ...TapCurves[]]): Chart {
  const [drawn] = group;
  const { frequencyHz } = results;
  const labels = group.map(({ label }) => label);
  const shown = frequencyHz.flatMap((hz, i) =>
    i % POINT_STEP === 0 && hz >= FROM_HZ && hz <= TO_HZ ? [i] : [],
  );
  const curves = mergedSettings(drawn.curves);
  const apart = Math.max(0, ...group.slice(1).map((other) => tapsApartDb(drawn, other)));
  return {
    id: `response-${tapNumber(results, drawn.tapId)}`,
    title: `What comes out? ${capitalised(listed(labels))}`,
    caption: say`${twinsText(labels, apart).trim()}`,
    figure: {
      data: curves.map(({ settings, curve }, i) => ({
        type: 'scatter',
        name: settingSpan(settings),
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
        height: 320,
        hovermode: 'x unified',
        showlegend: true,
      },
    },
    figureInDbu: null,
    tables: group.map((tap) => responseTable(frequencyHz, tap)),
    shows: results.findings
      .filter(
        ({ tapIds, kind }) => SHOWN_KINDS.has(kind) && group.some(({ tapId }) => tapIds.includes(tapId)),
      )
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

function responseTable(frequencyHz: readonly number[], { label, curves }: TapCurves): ChartTable {
  const rows = frequencyHz.flatMap((hz, i) =>
    i % TABLE_STEP === 0 && hz >= FROM_HZ && hz <= TO_HZ
      ? [[plainHz(hz), ...curves.map(({ curve }) => decibelCell(curve[i]))]]
      : [],
  );
  return {
    name: label,
    columns: ['Frequency', ...curves.map(({ setting }) => `${formatSetting(setting)}, dB`)],
    rows,
  };
}
