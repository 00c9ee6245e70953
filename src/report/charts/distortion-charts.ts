import { type FindingOf, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { Results } from '../../model/results.ts';
import { fixed, formatPercent, formatSetting, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { measurementsOf, tapNumber } from './curves.ts';
import { type Chart, plotText, rounded, settingStyle } from './figure.ts';

/** 1 % total harmonic distortion is called clipping (common practice). */
const ONSET_PERCENT = 1;
/** Below this the recorder's and the converter's own distortion shows. */
const LOWEST_PERCENT = 0.003;

type Clipping = FindingOf<'clipping'>;

/**
 * Distortion of a stepped tone against its drive, one curve a setting: for each tap the tone at which it clips in most
 * settings, which is the one that decides how far the volume may go.
 */
export function distortionCharts(results: Results): Chart[] {
  const findings = findingsOf(results.findings, 'clipping');
  return results.session.taps.flatMap(({ id }) => {
    const own = findings.filter(({ tapIds }) => tapIds[0] === id);
    const [decisive] = [...own].sort((a, b) => clippingSettings(b) - clippingSettings(a));
    const chart = decisive === undefined ? null : distortionChart(results, decisive);
    return chart === null ? [] : [{ ...chart, shows: own.map((finding) => finding.id) }];
  });
}

function clippingSettings({ perSetting }: Clipping): number {
  return perSetting.filter(({ driveDbFs }) => !isNotMeasurable(driveDbFs)).length;
}

function distortionChart(results: Results, finding: Clipping): Chart | null {
  const [tapId] = finding.tapIds;
  const curves = measurementsOf(results, tapId).flatMap(({ setting, ladders }) => {
    const ladder = ladders.find(({ toneHz }) => toneHz === finding.toneHz);
    return ladder === undefined ? [] : [{ setting, steps: ladder.steps }];
  });
  if (curves.length === 0) return null;
  const label = results.session.taps.find((tap) => tap.id === tapId)?.label ?? tapId;
  const drives = [...new Set(curves.flatMap(({ steps }) => steps.map(({ driveDbFs }) => driveDbFs)))].sort(
    (a, b) => a - b,
  );
  return {
    id: `distortion-${tapNumber(results, tapId)}`,
    title: `Distortion at ${plainHz(finding.toneHz)}: ${label}`,
    caption: say`Total harmonic distortion up to the ${finding.highestHarmonic}th harmonic, noise subtracted, against the drive in the track. Above the line at ${ONSET_PERCENT} % a setting counts as clipping.`,
    figure: {
      data: curves.map(({ setting, steps }, k) => ({
        type: 'scatter',
        name: plotText(`setting ${formatSetting(setting)}`),
        x: steps.map(({ driveDbFs }) => driveDbFs),
        y: steps.map(({ thd }) => rounded(Math.max(LOWEST_PERCENT, thd * 100))),
        ...settingStyle(k, curves.length),
        hovertemplate: '%{y:.2g} %',
      })),
      layout: {
        xaxis: { title: { text: 'Drive, dBFS' }, dtick: 6 },
        yaxis: {
          title: { text: 'Distortion, %' },
          type: 'log',
          range: [rounded(Math.log10(LOWEST_PERCENT)), rounded(Math.log10(60))],
          tickvals: [0.01, 0.1, 1, 10],
          ticktext: ['0.01', '0.1', '1', '10'],
        },
        height: 340,
        hovermode: 'x unified',
        showlegend: true,
        shapes: [
          {
            type: 'line',
            xref: 'paper',
            yref: 'y',
            x0: 0,
            x1: 1,
            y0: ONSET_PERCENT,
            y1: ONSET_PERCENT,
            line: { color: '--warn', width: 1.5, dash: 'dash' },
            layer: 'below',
          },
        ],
      },
    },
    figureInDbu: null,
    table: {
      columns: ['Drive', ...curves.map(({ setting }) => `Setting ${formatSetting(setting)}`)],
      rows: drives.map((drive) => [
        `${fixed(drive, 1)} dBFS`,
        ...curves.map(({ steps }) => {
          const step = steps.find(({ driveDbFs }) => driveDbFs === drive);
          return step === undefined ? 'not played' : formatPercent(step.thd);
        }),
      ]),
    },
    shows: [finding.id],
  };
}
