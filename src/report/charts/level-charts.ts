import { type FindingOf, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { Results } from '../../model/results.ts';
import { fixed, formatSetting, plainVolts, voltsToDbu } from '../format.ts';
import { say } from '../sentence.ts';
import { seriesStyle } from './curve-style.ts';
import { type Chart, type Figure, plotText, rounded, settingAxis, type Trace, VOLT_TICKS } from './figure.ts';

type VolumeLaw = FindingOf<'volume-law'>;

/** Level of a full-scale tone against the setting, one curve a tap; hollow marks are settings at which it clips. */
export function levelCharts(results: Results): Chart[] {
  const laws = findingsOf(results.findings, 'volume-law').filter(({ levels }) => levels.length > 0);
  if (laws.length === 0) return [];
  const curves = laws.map((law) => levelCurve(results, law));
  const drawn = merged(curves);
  const calibrated = curves.some(({ points }) => points.some(({ voltsRms }) => voltsRms !== null));
  return [
    {
      id: 'volume-law',
      title: 'How many volts come out?',
      caption: calibrated
        ? say`A full-scale tone in the middle of each output's band, if nothing clipped. Hollow marks clip.`
        : say`A full-scale tone in the recording; the recorder was not calibrated, so there are no volts. Hollow marks clip.`,
      figure: calibrated ? levelFigure(drawn, VOLTS) : levelFigure(drawn, DB_FS),
      figureInDbu: calibrated ? levelFigure(drawn, DBU) : null,
      tables: [
        {
          columns: ['Setting', ...curves.map(({ label }) => label)],
          rows: results.session.settings.map((setting) => [
            formatSetting(setting),
            ...curves.map(({ points }) => levelCell(points.find((point) => point.setting === setting))),
          ]),
        },
      ],
      shows: [
        ...laws.map(({ id }) => id),
        ...findingsOf(results.findings, 'clipping').map(({ id }) => id),
        ...findingsOf(results.findings, 'clean-settings').map(({ id }) => id),
        ...findingsOf(results.findings, 'rail').map(({ id }) => id),
        ...results.recommendations.filter(({ kind }) => kind === 'highest-clean-setting').map(({ id }) => id),
      ],
    },
  ];
}

interface LevelPoint {
  readonly setting: number;
  readonly levelDbFs: number;
  readonly voltsRms: number | null;
  readonly clips: boolean;
}

interface LevelCurve {
  readonly label: string;
  readonly points: readonly LevelPoint[];
}

function levelCurve(results: Results, law: VolumeLaw): LevelCurve {
  const [tapId] = law.tapIds;
  const clipping = findingsOf(results.findings, 'clipping').filter(({ tapIds }) => tapIds.includes(tapId));
  const clipsAt = (setting: number) =>
    clipping.some(({ perSetting }) =>
      perSetting.some(
        (row) => row.setting === setting && !isNotMeasurable(row.driveDbFs) && row.driveDbFs.value < 0,
      ),
    );
  return {
    label: results.session.taps.find((tap) => tap.id === tapId)?.label ?? tapId,
    points: law.levels.map(({ setting, levelDbFs, voltsRms }) => ({
      setting,
      levelDbFs,
      voltsRms: isNotMeasurable(voltsRms) ? null : voltsRms.value,
      clips: clipsAt(setting),
    })),
  };
}

/** Curves nearer than this lie on one another in the picture. */
const SAME_LEVEL_DB = 0.2;

/** Taps whose curves would hide one another are drawn as one curve with all their names. */
function merged(curves: readonly LevelCurve[]): LevelCurve[] {
  const kept: LevelCurve[] = [];
  for (const curve of curves) {
    const like = kept.findIndex((other) => lieTogether(other, curve));
    if (like < 0) kept.push(curve);
    else kept[like] = { ...kept[like], label: `${kept[like].label}, ${curve.label}` };
  }
  return kept;
}

function lieTogether(a: LevelCurve, b: LevelCurve): boolean {
  if (a.points.length !== b.points.length) return false;
  return a.points.every((point, i) => {
    const other = b.points[i];
    const near = Math.abs(point.levelDbFs - other.levelDbFs) < SAME_LEVEL_DB;
    return near && point.setting === other.setting && point.clips === other.clips;
  });
}

interface Scale {
  readonly title: string;
  readonly type: 'log' | 'linear';
  readonly value: (point: LevelPoint) => number | null;
  readonly hover: string;
}

const VOLTS: Scale = {
  title: 'Volts RMS',
  type: 'log',
  value: ({ voltsRms }) => voltsRms,
  hover: '%{y:.3g} V',
};
const DBU: Scale = {
  title: 'Level, dBu',
  type: 'linear',
  value: ({ voltsRms }) => (voltsRms === null || voltsRms <= 0 ? null : voltsToDbu(voltsRms)),
  hover: '%{y:.1f} dBu',
};
const DB_FS: Scale = {
  title: 'Level in the recording, dBFS',
  type: 'linear',
  value: ({ levelDbFs }) => levelDbFs,
  hover: '%{y:.1f} dBFS',
};

function levelFigure(curves: readonly LevelCurve[], scale: Scale): Figure {
  const settings = [...new Set(curves.flatMap(({ points }) => points.map(({ setting }) => setting)))].sort(
    (a, b) => a - b,
  );
  return {
    data: curves.map(({ label, points }, i) => levelTrace({ label, points, i, scale })),
    layout: {
      xaxis: settingAxis(settings),
      yaxis: {
        title: { text: scale.title },
        type: scale.type,
        ...(scale.type === 'log' ? { tickvals: VOLT_TICKS, ticktext: VOLT_TICKS.map(String) } : {}),
      },
      height: 340,
      hovermode: 'x unified',
      showlegend: true,
    },
  };
}

function levelTrace({ label, points, i, scale }: LevelCurve & { i: number; scale: Scale }): Trace {
  const style = seriesStyle(i);
  const { symbol } = style.marker;
  return {
    type: 'scatter',
    name: plotText(label),
    x: points.map(({ setting }) => setting),
    y: points.map((point) => {
      const value = scale.value(point);
      return value === null ? null : rounded(value);
    }),
    mode: 'lines+markers',
    line: style.line,
    marker: {
      ...style.marker,
      size: 8,
      maxdisplayed: 0,
      symbol: points.map(({ clips }) => (clips ? `${symbol}-open` : symbol)),
    },
    hovertemplate: scale.hover,
  };
}

function levelCell(point: LevelPoint | undefined): string {
  if (point === undefined) return 'not recorded';
  const level = point.voltsRms === null ? `${fixed(point.levelDbFs, 1)} dBFS` : plainVolts(point.voltsRms);
  return point.clips ? `${level}, clips` : level;
}
