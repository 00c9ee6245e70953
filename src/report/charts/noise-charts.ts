import { type FindingOf, findingsOf } from '../../model/finding.ts';
import type { Results } from '../../model/results.ts';
import { plainDbFs, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { tapNumber } from './curves.ts';
import { type Chart, frequencyAxis, rounded } from './figure.ts';

/** The steady lines in the noise of each tap that has any. */
export function noiseCharts(results: Results): Chart[] {
  return findingsOf(results.findings, 'noise').flatMap((finding) =>
    finding.lines.length === 0 ? [] : [noiseChart(results, finding)],
  );
}

/** The picture reaches this far below the weakest line. */
const FOOT_DB = 15;

function noiseChart(results: Results, finding: FindingOf<'noise'>): Chart {
  const [tapId] = finding.tapIds;
  const label = results.session.taps.find((tap) => tap.id === tapId)?.label ?? tapId;
  const lines = [...finding.lines].sort((a, b) => a.frequencyHz - b.frequencyHz);
  const levels = lines.map(({ levelDbFs }) => levelDbFs);
  const foot = Math.floor((Math.min(...levels) - FOOT_DB) / 10) * 10;
  return {
    id: `noise-${tapNumber(results, tapId)}`,
    title: `Noise lines: ${label}`,
    caption:
      finding.mainsHz === null
        ? say`Steady tones that stand out of the noise under a very quiet tone.`
        : say`Steady tones that stand out of the noise under a very quiet tone; multiples of ${finding.mainsHz} Hz are mains hum.`,
    figure: {
      data: [
        {
          type: 'scatter',
          name: 'lines',
          mode: 'lines',
          // A stem from the foot to the level of each line, then a gap.
          x: lines.flatMap(({ frequencyHz }) => [rounded(frequencyHz), rounded(frequencyHz), null]),
          y: lines.flatMap(({ levelDbFs }) => [foot, rounded(levelDbFs), null]),
          line: { color: '--ink', width: 1 },
          hoverinfo: 'skip',
        },
        {
          type: 'scatter',
          name: 'level',
          mode: 'markers',
          x: lines.map(({ frequencyHz }) => rounded(frequencyHz)),
          y: levels.map(rounded),
          marker: { color: '--ink', size: 7, symbol: 'circle' },
          hovertemplate: '%{x:.1f} Hz: %{y:.1f} dBFS<extra></extra>',
        },
      ],
      layout: {
        xaxis: frequencyAxis(18, 20_500),
        yaxis: { title: { text: 'Level, dBFS' }, range: [foot, Math.max(...levels) + 10] },
        height: 280,
        hovermode: 'closest',
        showlegend: false,
      },
    },
    figureInDbu: null,
    table: {
      columns: ['Frequency', 'Level'],
      rows: lines.map(({ frequencyHz, levelDbFs }) => [plainHz(frequencyHz), plainDbFs(levelDbFs)]),
    },
    shows: [finding.id],
  };
}
