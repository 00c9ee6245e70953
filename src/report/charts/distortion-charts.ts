import { type FindingOf, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import { fixed, formatPercent, formatSetting, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { capitalised } from '../wording/statement.ts';
import { alikeGroups, settingSpan } from './alike.ts';
import { settingStyle } from './curve-style.ts';
import { tapNumber } from './curves.ts';
import { type DistortionCurve, distortionCurves, tonesOf, visiblePercent } from './distortion-curves.ts';
import { type Axis, type Chart, type ChartTable, rounded, type Shape, type Trace } from './figure.ts';

/** 1 % total harmonic distortion is called clipping (common practice). */
const ONSET_PERCENT = 1;
/** Below this the recorder's and the converter's own distortion shows. */
const LOWEST_PERCENT = 0.01;
const HIGHEST_PERCENT = 60;
const LOWEST_DRIVE_DB_FS = -30;
/** Two marks of the axis at least: where all clips near full scale, an axis still has a length. */
const HIGHEST_START_DB_FS = -12;
const DRIVE_TICK_DB = 6;

interface TapDistortion {
  readonly tapId: string;
  readonly label: string;
  readonly findings: readonly FindingOf<'clipping'>[];
  /** One for each tone that the tap carries, the lowest first. */
  readonly tones: readonly { readonly toneHz: number; readonly curves: readonly DistortionCurve[] }[];
}

/**
 * Distortion of stepped tones against their drive: a panel for each tone that the tap carries, a curve for each setting;
 * none for taps whose distortion nowhere stands above the noise.
 */
export function distortionCharts(results: Results): Chart[] {
  const taps = results.session.taps.flatMap(({ id, label }) => {
    const findings = findingsOf(results.findings, 'clipping').filter(({ tapIds }) => tapIds[0] === id);
    const tones = tonesOf(results, id)
      .map((toneHz) => ({ toneHz, curves: distortionCurves(results, id, toneHz) }))
      .filter(({ curves }) => curves.length > 0);
    return tones.length === 0 ? [] : [{ tapId: id, label, findings, tones }];
  });
  const fromDbFs = lowestDriveSeen(taps);
  return alikeGroups(taps, clipAlike).flatMap((group) => distortionChart(results, group, fromDbFs) ?? []);
}

/** A mark of the axis below the lowest drive at which anything of any tap is seen: all pictures have one axis, none an empty half. */
function lowestDriveSeen(taps: readonly TapDistortion[]): number {
  const seen = taps.flatMap(({ tones }) =>
    tones.flatMap(({ curves }) =>
      curves.flatMap(({ steps }) => {
        const percent = visiblePercent(steps, LOWEST_PERCENT);
        return steps.flatMap(({ driveDbFs }, i) => (percent[i] === null ? [] : [driveDbFs]));
      }),
    ),
  );
  const lowest = Math.min(HIGHEST_START_DB_FS, ...seen);
  return Math.max(LOWEST_DRIVE_DB_FS, Math.floor(lowest / DRIVE_TICK_DB) * DRIVE_TICK_DB);
}

/** Drives in the track are half decibels apart. */
const SAME_DRIVE_DB = 0.5;

/** The same tones reach 1 % at the same settings and, within a step of the track, at the same drive. */
function clipAlike(a: TapDistortion, b: TapDistortion): boolean {
  const onsets = ({ findings, tones }: TapDistortion) =>
    tones.flatMap(({ toneHz }) =>
      findings
        .filter((finding) => finding.toneHz === toneHz)
        .flatMap(({ perSetting }) =>
          perSetting.map(({ setting, driveDbFs }) => ({
            where: `${toneHz} ${setting}`,
            driveDbFs: isNotMeasurable(driveDbFs) ? Number.POSITIVE_INFINITY : driveDbFs.value,
          })),
        ),
    );
  const others = onsets(b);
  const own = onsets(a);
  return (
    own.length === others.length &&
    own.every(
      ({ where, driveDbFs }, i) =>
        where === others[i].where &&
        (driveDbFs === others[i].driveDbFs || Math.abs(driveDbFs - others[i].driveDbFs) <= SAME_DRIVE_DB),
    )
  );
}

function distortionChart(
  results: Results,
  group: readonly [TapDistortion, ...TapDistortion[]],
  fromDbFs: number,
): Chart | null {
  const [{ tapId, tones }, ...others] = group;
  const settings = [...new Set(tones.flatMap(({ curves }) => curves.map(({ setting }) => setting)))].sort(
    (a, b) => a - b,
  );
  const panels = drawnTones(tones, settings);
  const data = oneKeyForAll(
    panels.flatMap(({ traces }, panel) => traces.map((trace) => ({ ...trace, panel }))),
  );
  if (data.length === 0) return null;
  const silent = tones.filter(({ toneHz }) => !panels.some((drawn) => drawn.toneHz === toneHz));
  const clean = settings.filter((setting) => !data.some(({ name }) => name === nameOf(setting)));
  return {
    id: `distortion-${tapNumber(results, tapId)}`,
    title: `Where does it clip? ${capitalised(listed(group.map((tap) => tap.label)))}`,
    caption: say`Above ${ONSET_PERCENT} % counts as clipping.${silentText(silent.map(({ toneHz }) => plainHz(toneHz)))}${cleanText(clean)}${clipTwinsText(group[0], others)}`,
    figure: {
      data,
      layout: {
        panels: panels.map(
          ({ toneHz, highestHarmonic }) => `${plainHz(toneHz)}, harmonics 2 to ${highestHarmonic}`,
        ),
        xaxis: { title: { text: 'Drive, dBFS' }, range: [fromDbFs, 1], dtick: DRIVE_TICK_DB },
        yaxis: DISTORTION_AXIS,
        height: 300,
        hovermode: 'x unified',
        showlegend: true,
        shapes: [ONSET_LINE],
      },
    },
    figureInDbu: null,
    tables: group.flatMap(distortionTables),
    shows: group.flatMap((tap) => tap.findings.map(({ id }) => id)),
  };
}

const DISTORTION_AXIS: Axis = {
  title: { text: 'Distortion, %' },
  type: 'log',
  range: [rounded(Math.log10(LOWEST_PERCENT)), rounded(Math.log10(HIGHEST_PERCENT))],
  tickvals: [0.01, 0.1, 1, 10],
  ticktext: ['0.01', '0.1', '1', '10'],
};
const ONSET_LINE: Shape = {
  type: 'line',
  xref: 'paper',
  yref: 'y',
  x0: 0,
  x1: 1,
  y0: ONSET_PERCENT,
  y1: ONSET_PERCENT,
  line: { color: '--warn', width: 1.5, dash: 'dash' },
  layer: 'below',
};

/** A panel for each tone of which something stands above the noise. */
function drawnTones(tones: TapDistortion['tones'], settings: readonly number[]) {
  return tones
    .map(({ toneHz, curves }) => ({
      toneHz,
      highestHarmonic: curves[0].highestHarmonic,
      traces: curves.flatMap((curve) => distortionTrace({ curve, settings }) ?? []),
    }))
    .filter(({ traces }) => traces.length > 0);
}

/** Curves of one setting hang together over the panels and stand once in the key. */
function oneKeyForAll(traces: readonly Trace[]): Trace[] {
  return traces.map((trace, i) => ({
    ...trace,
    legendgroup: trace.name,
    showlegend: traces.findIndex(({ name }) => name === trace.name) === i,
  }));
}

function clipTwinsText({ label }: TapDistortion, others: readonly TapDistortion[]): string {
  if (others.length === 0) return '';
  const verb = others.length === 1 ? 'clips' : 'clip';
  return ` Drawn for ${label}; ${listed(others.map((tap) => tap.label))} ${verb} within half a decibel of it.`;
}

function silentText(tones: readonly string[]): string {
  return tones.length === 0 ? '' : ` At ${listed(tones)} nothing stands above the noise.`;
}

function cleanText(settings: readonly number[]): string {
  if (settings.length === 0) return '';
  return ` Nothing above the noise at ${settingSpan(settings)}.`;
}

function nameOf(setting: number): string {
  return `setting ${formatSetting(setting)}`;
}

/** Null where nothing of the curve stands above its noise and the foot of the picture. */
function distortionTrace({
  curve: { setting, steps },
  settings,
}: {
  curve: DistortionCurve;
  settings: readonly number[];
}): Trace | null {
  const seen = steps.filter(({ driveDbFs }) => driveDbFs >= LOWEST_DRIVE_DB_FS);
  const percent = visiblePercent(seen, LOWEST_PERCENT);
  if (percent.every((value) => value === null)) return null;
  return {
    type: 'scatter',
    name: nameOf(setting),
    x: seen.map(({ driveDbFs }) => driveDbFs),
    y: percent.map((value) => (value === null ? null : rounded(value))),
    ...settingStyle(settings.indexOf(setting), settings.length),
    hovertemplate: '%{y:.2g} %',
  };
}

/** Drives and settings at which nothing stands above the noise are left out. */
function distortionTables({ label, tones }: TapDistortion): ChartTable[] {
  return tones.flatMap(({ toneHz, curves }) => {
    const seen = curves
      .map(({ setting, steps }) => {
        const percent = visiblePercent(steps, LOWEST_PERCENT);
        return { setting, steps: steps.filter((_, i) => percent[i] !== null) };
      })
      .filter(({ steps }) => steps.length > 0);
    const drives = seen.flatMap(({ steps }) => steps.map(({ driveDbFs }) => driveDbFs));
    if (seen.length === 0) return [];
    return [
      {
        name: `${label}, ${plainHz(toneHz)}`,
        columns: ['Drive', ...seen.map(({ setting }) => `Setting ${formatSetting(setting)}`)],
        rows: [...new Set(drives)]
          .sort((a, b) => a - b)
          .map((drive) => [
            `${fixed(drive, 1)} dBFS`,
            ...seen.map(({ steps }) => {
              const step = steps.find(({ driveDbFs }) => driveDbFs === drive);
              return step === undefined ? 'noise' : formatPercent(step.thd);
            }),
          ]),
      },
    ];
  });
}
