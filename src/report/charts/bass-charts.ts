import { BASS_FREQUENCIES_HZ, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason } from '../../model/measured.ts';
import type { Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import { reasonText } from '../../words/reason-text.ts';
import { formatDb, formatSetting, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { capitalised } from '../wording/statement.ts';
import { alikeGroups, SAME_CURVE_DB, twinsText } from './alike.ts';
import { bassMap, bassMapChart, mapsApartDb, type TapBass } from './bass-map.ts';
import { seriesStyle } from './curve-style.ts';
import { tapNumber } from './curves.ts';
import { type Chart, type ChartTable, rounded, type Shape, settingAxis, type Trace } from './figure.ts';

/** Less than this is not heard as a change of bass (common practice). */
const LEAST_SHOWN_DB = 1;

/**
 * For each tap whose bass was followed over the settings: its change at four frequencies, and a map of the loss. Taps
 * that lose alike share their pictures.
 */
export function bassCharts(results: Results): Chart[] {
  const taps: TapBass[] = findingsOf(results.findings, 'bass-change')
    .filter(({ changes }) => changes.length > 0)
    .map((finding) => ({
      finding,
      label: labelOf(results, finding.tapIds[0]),
      map: finding.verdict === 'falls with volume' ? bassMap(results, finding) : null,
    }));
  return alikeGroups(taps, (a, b) => bassApartDb(a, b) < SAME_CURVE_DB).flatMap((group) => {
    const apart = Math.max(0, ...group.slice(1).map((other) => bassApartDb(group[0], other)));
    const base = {
      number: tapNumber(results, group[0].finding.tapIds[0]),
      twins: twinsText(
        group.map(({ label }) => label),
        apart,
      ),
      shows: group.flatMap(({ finding }) => [finding.id, ...restingOn(results, finding.id)]),
    };
    const map = bassMapChart(results, { group, ...base });
    return [changeChart(group, base), ...(map === null ? [] : [map])];
  });
}

/** Infinite where the two differ in more than decibels: in the verdict, the settings or where the loss begins. */
function bassApartDb(a: TapBass, b: TapBass): number {
  const frame = ({ finding: { verdict, onset, plateauSettings, changes } }: TapBass) =>
    JSON.stringify([verdict, onset, plateauSettings, changes.map(({ setting }) => setting)]);
  if (frame(a) !== frame(b)) return Number.POSITIVE_INFINITY;
  const others = b.finding.changes.flatMap(({ changeDb }) => changeDb);
  const distances = a.finding.changes
    .flatMap(({ changeDb }) => changeDb)
    .map((answer, i) => answersApartDb(answer, others[i]));
  return Math.max(...distances, mapsApartDb(a.map, b.map));
}

function answersApartDb(a: MeasuredOrReason, b: MeasuredOrReason): number {
  if (isNotMeasurable(a) || isNotMeasurable(b)) {
    return isNotMeasurable(a) === isNotMeasurable(b) ? 0 : Number.POSITIVE_INFINITY;
  }
  return Math.abs(a.value - b.value);
}

interface ChartBase {
  readonly number: number;
  readonly twins: string;
  readonly shows: readonly string[];
}

function changeChart(group: readonly [TapBass, ...TapBass[]], { number, twins, shows }: ChartBase): Chart {
  const [{ finding }] = group;
  const settings = finding.changes.map(({ setting }) => setting);
  return {
    id: `bass-${number}`,
    title: `How much bass goes? ${capitalised(listed(group.map(({ label }) => label)))}`,
    caption: say`${`${beginsText(finding.onset)}${twins}`.trim()}`,
    figure: {
      data: changeTraces(finding, settings),
      layout: {
        xaxis: settingAxis(settings),
        yaxis: {
          title: { text: 'Change, dB' },
          ...rangeOf(finding.changes.flatMap(({ changeDb }) => changeDb)),
        },
        height: 340,
        hovermode: 'x unified',
        showlegend: true,
        shapes: onsetShapes(finding.onset),
      },
    },
    figureInDbu: null,
    tables: group.map(changeTable),
    shows,
  };
}

type Onset = TapBass['finding']['onset'];

function beginsText(onset: Onset): string {
  if (onset === null) return '';
  return `Shaded: the cut starts between ${formatSetting(onset.lastIntact)} and ${formatSetting(onset.firstChanged)}.`;
}

function changeTraces({ changes }: TapBass['finding'], settings: readonly number[]): Trace[] {
  return BASS_FREQUENCIES_HZ.map((hz, i) => {
    const answers = changes.map(({ changeDb }) => changeDb[i]);
    return {
      type: 'scatter',
      name: plainHz(hz),
      x: settings,
      y: answers.map((answer) => (isNotMeasurable(answer) ? null : rounded(answer.value))),
      error_y: {
        type: 'data',
        array: answers.map((answer) => (isNotMeasurable(answer) ? null : rounded(answer.plusMinus))),
        thickness: 1,
      },
      ...seriesStyle(i),
      hovertemplate: '%{y:.1f} dB',
    };
  });
}

function onsetShapes(onset: Onset): Shape[] {
  if (onset === null) return [];
  return [
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
  ];
}

function changeTable({ label, finding: { changes } }: TapBass): ChartTable {
  return {
    name: label,
    columns: ['Setting', ...BASS_FREQUENCIES_HZ.map(plainHz)],
    rows: changes.map(({ setting, changeDb }) => [
      formatSetting(setting),
      ...changeDb.map((change) =>
        isNotMeasurable(change) ? reasonText(change.notMeasurable) : formatDb(change),
      ),
    ]),
  };
}

/** Thousandths of a decibel, spread over the whole height, would look like a loss. */
function rangeOf(answers: readonly MeasuredOrReason[]): { range?: readonly [number, number] } {
  const farthest = Math.max(
    0,
    ...answers.flatMap((answer) =>
      isNotMeasurable(answer) ? [] : [Math.abs(answer.value) + answer.plusMinus],
    ),
  );
  return farthest < LEAST_SHOWN_DB ? { range: [-LEAST_SHOWN_DB, LEAST_SHOWN_DB] } : {};
}

/** Restoration that follows from a bass finding is shown by the same picture. */
function restingOn(results: Results, findingId: string): string[] {
  return results.recommendations
    .filter(({ kind, restsOn }) => kind === 'restoration' && restsOn.includes(findingId))
    .map(({ id }) => id);
}

function labelOf(results: Results, tapId: string): string {
  return results.session.taps.find(({ id }) => id === tapId)?.label ?? tapId;
}
