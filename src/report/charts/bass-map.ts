import { mean } from '../../dsp/statistics.ts';
import type { FindingOf } from '../../model/finding.ts';
import type { Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import { formatSetting, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { capitalised } from '../wording/statement.ts';
import { apartDb } from './alike.ts';
import { type CurveDb, decibelCell, relativeCurves } from './curves.ts';
import { type Chart, frequencyAxis, rounded, roundedOrNull, settingAxis, type Trace } from './figure.ts';

const MAP_FROM_HZ = 25;
const MAP_TO_HZ = 400;
/** 40 points a decade. */
const MAP_STEP = 4;
const TABLE_STEP = 16;

/** What was found of one tap's bass, with the map of its loss where there is one. */
export interface TapBass {
  readonly finding: FindingOf<'bass-change'>;
  readonly label: string;
  readonly map: BassMap | null;
}

/** Change of a tap's bass over setting and frequency, against the mean of the plateau settings. */
interface BassMap {
  readonly settings: readonly number[];
  /** Places in the grid of frequencies, every fourth. */
  readonly points: readonly number[];
  /** Decibels at each setting for each of `points`. */
  readonly changeDb: readonly CurveDb[];
}

/** Null where no plateau setting, or only one setting in all, is trusted. */
export function bassMap(results: Results, finding: FindingOf<'bass-change'>): BassMap | null {
  const curves = relativeCurves(results, finding.tapIds[0]);
  const plateau = curves.filter(({ setting }) => finding.plateauSettings.includes(setting));
  if (plateau.length === 0 || curves.length < 2) return null;
  const points = results.frequencyHz.flatMap((hz, i) =>
    i % MAP_STEP === 0 && hz >= MAP_FROM_HZ && hz <= MAP_TO_HZ ? [i] : [],
  );
  return {
    settings: curves.map(({ setting }) => setting),
    points,
    changeDb: points.map((point) => {
      const before = plateau.flatMap(({ curve }) => curve[point] ?? []);
      const level = mean(before);
      return curves.map(({ curve }) =>
        curve[point] === null || before.length === 0 ? null : curve[point] - level,
      );
    }),
  };
}

/** Infinite where only one of the two can be drawn. */
export function mapsApartDb(a: BassMap | null, b: BassMap | null): number {
  if (a === null || b === null) return a === b ? 0 : Number.POSITIVE_INFINITY;
  return apartDb(a.changeDb.flat(), b.changeDb.flat());
}

/** Lines of equal loss; null where the taps have no map. */
export function bassMapChart(
  results: Results,
  {
    group,
    number,
    twins,
    shows,
  }: { group: readonly [TapBass, ...TapBass[]]; number: number; twins: string; shows: readonly string[] },
): Chart | null {
  const [{ map }] = group;
  if (map === null) return null;
  return {
    id: `bass-map-${number}`,
    title: `How far up does the cut reach? ${capitalised(listed(group.map(({ label }) => label)))}`,
    caption: say`The darker, the more is lost at that setting and frequency: full tone is 19 dB.${twins}`,
    figure: {
      data: [lossTrace(results, map)],
      layout: {
        xaxis: settingAxis(map.settings),
        yaxis: frequencyAxis(MAP_FROM_HZ, MAP_TO_HZ),
        height: 340,
        hovermode: 'closest',
        showlegend: false,
      },
    },
    figureInDbu: null,
    tables: group.flatMap(({ label, map: own }) => (own === null ? [] : [mapTable(results, label, own)])),
    shows,
  };
}

function lossTrace({ frequencyHz }: Results, { settings, points, changeDb }: BassMap): Trace {
  return {
    type: 'contour',
    name: 'change',
    x: settings,
    y: points.map((i) => rounded(frequencyHz[i])),
    z: changeDb.map((row) => row.map(roundedOrNull)),
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
  };
}

function mapTable(results: Results, name: string, { settings, points, changeDb }: BassMap) {
  return {
    name,
    columns: ['Frequency', ...settings.map((setting) => `${formatSetting(setting)}, dB`)],
    rows: points.flatMap((point, i) =>
      point % TABLE_STEP === 0
        ? [[plainHz(results.frequencyHz[point]), ...changeDb[i].map(decibelCell)]]
        : [],
    ),
  };
}
