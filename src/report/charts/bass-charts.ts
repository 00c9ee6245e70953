import { BASS_FREQUENCIES_HZ, type FindingOf, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { Results } from '../../model/results.ts';
import { formatDb, formatSetting, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { decibelCell, relativeCurves, tapNumber } from './curves.ts';
import { type Chart, frequencyAxis, rounded, roundedOrNull, seriesStyle, settingAxis } from './figure.ts';

type BassChange = FindingOf<'bass-change'>;

/** For each tap whose bass was followed over the settings: its change at four frequencies, and a map of the loss. */
export function bassCharts(results: Results): Chart[] {
  return findingsOf(results.findings, 'bass-change').flatMap((finding) => {
    const lines = finding.changes.length === 0 ? [] : [changeChart(results, finding)];
    const map = finding.verdict === 'falls with volume' ? lossMap(results, finding) : null;
    return map === null ? lines : [...lines, map];
  });
}

function changeChart(results: Results, finding: BassChange): Chart {
  const settings = finding.changes.map(({ setting }) => setting);
  const answers = BASS_FREQUENCIES_HZ.map((_, i) => finding.changes.map(({ changeDb }) => changeDb[i]));
  const { onset } = finding;
  return {
    id: `bass-${tapNumber(results, finding.tapIds[0])}`,
    title: `Bass against volume: ${labels(results, finding)}`,
    caption: onset
      ? say`Change against the settings that agree with each other; bars are the uncertainty. The bass begins to go in the shaded span, between ${formatSetting(onset.lastIntact)} and ${formatSetting(onset.firstChanged)}.`
      : say`Change against the settings that agree with each other; bars are the uncertainty.`,
    figure: {
      data: BASS_FREQUENCIES_HZ.map((hz, i) => ({
        type: 'scatter',
        name: plainHz(hz),
        x: settings,
        y: answers[i].map((answer) => (isNotMeasurable(answer) ? null : rounded(answer.value))),
        error_y: {
          type: 'data',
          array: answers[i].map((answer) => (isNotMeasurable(answer) ? null : rounded(answer.plusMinus))),
          thickness: 1,
        },
        ...seriesStyle(i),
        hovertemplate: '%{y:.1f} dB',
      })),
      layout: {
        xaxis: settingAxis(settings),
        yaxis: { title: { text: 'Change, dB' } },
        height: 340,
        hovermode: 'x unified',
        showlegend: true,
        shapes:
          onset === null
            ? []
            : [
                {
                  type: 'rect',
                  xref: 'x',
                  yref: 'paper',
                  x0: onset.lastIntact,
                  x1: onset.firstChanged,
                  y0: 0,
                  y1: 1,
                  line: { color: '--rule', width: 1 },
                  fillcolor: '--shade',
                  layer: 'below',
                },
              ],
      },
    },
    figureInDbu: null,
    table: {
      columns: ['Setting', ...BASS_FREQUENCIES_HZ.map(plainHz)],
      rows: finding.changes.map(({ setting, changeDb }) => [
        formatSetting(setting),
        ...changeDb.map((change) => (isNotMeasurable(change) ? change.notMeasurable : formatDb(change))),
      ]),
    },
    shows: [finding.id, ...restingOn(results, finding.id)],
  };
}

const MAP_FROM_HZ = 25;
const MAP_TO_HZ = 400;
/** 40 points a decade. */
const MAP_STEP = 4;
const TABLE_STEP = 16;

/** Lines of equal loss over setting and frequency, against the mean of the plateau settings. */
function lossMap(results: Results, finding: BassChange): Chart | null {
  const curves = relativeCurves(results, finding.tapIds[0]);
  const plateau = curves.filter(({ setting }) => finding.plateauSettings.includes(setting));
  if (plateau.length === 0 || curves.length < 2) return null;
  const change = (point: number) => {
    const before = plateau.flatMap(({ curve }) => curve[point] ?? []);
    const level = before.reduce((sum, db) => sum + db, 0) / before.length;
    return curves.map(({ curve }) =>
      curve[point] === null || before.length === 0 ? null : curve[point] - level,
    );
  };
  const points = results.frequencyHz.flatMap((hz, i) => (hz >= MAP_FROM_HZ && hz <= MAP_TO_HZ ? [i] : []));
  const drawn = points.filter((i) => i % MAP_STEP === 0);
  const listed = points.filter((i) => i % TABLE_STEP === 0);
  const settings = curves.map(({ setting }) => setting);
  return {
    id: `bass-map-${tapNumber(results, finding.tapIds[0])}`,
    title: `Where the bass goes: ${labels(results, finding)}`,
    caption: say`Lines of equal change, in decibels: read upwards how far the loss reaches, and to the right how it grows with the volume.`,
    figure: {
      data: [
        {
          type: 'contour',
          name: 'change',
          x: settings,
          y: drawn.map((i) => rounded(results.frequencyHz[i])),
          z: drawn.map((i) => change(i).map(roundedOrNull)),
          line: { color: '--ink', width: 1, smoothing: 0.6 },
          // Odd decibels: a line at 0 would trace nothing but noise.
          contours: {
            coloring: 'fill',
            start: -19,
            end: 7,
            size: 2,
            showlabels: true,
            labelfont: { size: 12, color: '--ink' },
          },
          colorscale: [
            [0, '--map-deep'],
            [0.75, '--map-none'],
            [1, '--map-none'],
          ],
          showscale: false,
          showlegend: false,
          hovertemplate: 'setting %{x}, %{y:.0f} Hz: %{z:.1f} dB<extra></extra>',
        },
      ],
      layout: {
        xaxis: settingAxis(settings),
        yaxis: frequencyAxis(MAP_FROM_HZ, MAP_TO_HZ),
        height: 340,
        hovermode: 'closest',
        showlegend: false,
      },
    },
    figureInDbu: null,
    table: {
      columns: ['Frequency', ...settings.map((setting) => `${formatSetting(setting)}, dB`)],
      rows: listed.map((i) => [plainHz(results.frequencyHz[i]), ...change(i).map(decibelCell)]),
    },
    shows: [finding.id, ...restingOn(results, finding.id)],
  };
}

/** Restoration that follows from a bass finding is shown by the same picture. */
function restingOn(results: Results, findingId: string): string[] {
  return results.recommendations
    .filter(({ kind, restsOn }) => kind === 'restoration' && restsOn.includes(findingId))
    .map(({ id }) => id);
}

function labels(results: Results, { tapIds }: BassChange): string {
  return results.session.taps
    .filter(({ id }) => tapIds.includes(id))
    .map(({ label }) => label)
    .join(', ');
}
