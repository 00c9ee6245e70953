import { type FindingOf, findingsOf } from '../../model/finding.ts';
import type { Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import { plainDbFs, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { LINES_IN_WORDS } from '../wording/noise-words.ts';
import { capitalised } from '../wording/statement.ts';
import { alikeGroups, twinsText } from './alike.ts';
import { tapNumber } from './curves.ts';
import { type Chart, frequencyAxis, rounded } from './figure.ts';

interface TapLines {
  readonly finding: FindingOf<'noise'>;
  readonly label: string;
  /** By frequency. */
  readonly lines: FindingOf<'noise'>['lines'];
}

/** The steady lines in the noise of each tap that has more than a sentence holds; taps with the same lines share a picture. */
export function noiseCharts(results: Results): Chart[] {
  const taps = findingsOf(results.findings, 'noise')
    .filter(({ lines }) => lines.length > LINES_IN_WORDS)
    .map((finding) => ({
      finding,
      label: results.session.taps.find(({ id }) => id === finding.tapIds[0])?.label ?? finding.tapIds[0],
      lines: [...finding.lines].sort((a, b) => a.frequencyHz - b.frequencyHz),
    }));
  return alikeGroups(taps, (a, b) => linesApartDb(a, b) < SAME_LINES_DB).map((group) =>
    noiseChart(results, group),
  );
}

/** Lines sway from take to take by more than curves do. */
const SAME_LINES_DB = 2;
/** Lines that much weaker than the strongest do not keep two taps apart. */
const MATTERS_DB = 30;
const SAME_FREQUENCY = 0.01;

/** Over the lines that matter; infinite where one of the taps lacks one. */
function linesApartDb(a: TapLines, b: TapLines): number {
  return Math.max(...[oneWay(a, b), oneWay(b, a)].flat());

  function oneWay(from: TapLines, to: TapLines): number[] {
    const strongest = Math.max(...from.lines.map(({ levelDbFs }) => levelDbFs));
    return from.lines
      .filter(({ levelDbFs }) => levelDbFs > strongest - MATTERS_DB)
      .map(({ frequencyHz, levelDbFs }) => {
        const like = to.lines.find((line) => Math.abs(line.frequencyHz / frequencyHz - 1) < SAME_FREQUENCY);
        return like === undefined ? Number.POSITIVE_INFINITY : Math.abs(like.levelDbFs - levelDbFs);
      });
  }
}

/** The picture reaches this far below the weakest line. */
const FOOT_DB = 15;

function noiseChart(results: Results, group: readonly [TapLines, ...TapLines[]]): Chart {
  const [drawn] = group;
  const { finding, lines } = drawn;
  const labels = group.map(({ label }) => label);
  const levels = lines.map(({ levelDbFs }) => levelDbFs);
  const foot = Math.floor((Math.min(...levels) - FOOT_DB) / 10) * 10;
  const mains = finding.mainsHz === null ? '' : ` Multiples of ${finding.mainsHz} Hz are mains hum.`;
  const apart = Math.max(0, ...group.slice(1).map((other) => linesApartDb(drawn, other)));
  return {
    id: `noise-${tapNumber(results, finding.tapIds[0])}`,
    title: `What hums? ${capitalised(listed(labels))}`,
    caption: say`Steady tones above the noise.${mains}${twinsText(labels, apart)}`,
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
    tables: group.map((tap) => ({
      name: tap.label,
      columns: ['Frequency', 'Level'],
      rows: tap.lines.map(({ frequencyHz, levelDbFs }) => [plainHz(frequencyHz), plainDbFs(levelDbFs)]),
    })),
    shows: group.map((tap) => tap.finding.id),
  };
}
