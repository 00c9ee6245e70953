import { isNotMeasurable } from '../../model/measured.ts';
import { type RecommendationOf, recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { formatSetting, plainDb, plainHz, plainVolts, voltsToDbu } from '../format.ts';
import { say } from '../sentence.ts';
import { type Chart, type Figure, rounded, VOLT_TICKS } from './figure.ts';

type Chain = RecommendationOf<'gain-structure'>;

/** Volts at every node from the tap to the speaker, beside the limit of each. */
export function chainCharts(results: Results): Chart[] {
  return recommendationsOf(results.recommendations, 'gain-structure').flatMap(
    (chain, i) => chainChart(results, chain, i) ?? [],
  );
}

interface Node {
  readonly name: string;
  readonly volts: number;
  readonly limit: number | null;
  readonly headroom: string;
}

function chainChart(results: Results, chain: Chain, i: number): Chart | null {
  const nodes: Node[] = chain.nodes.flatMap(({ node, voltsRms, limitVoltsRms, headroomDb }) =>
    isNotMeasurable(voltsRms)
      ? []
      : [
          {
            name: node,
            volts: voltsRms.value,
            limit: limitVoltsRms,
            headroom: headroomDb === null ? 'limit not known' : `headroom ${plainDb(headroomDb)}`,
          },
        ],
  );
  if (nodes.length === 0) return null;
  const rests = results.recommendations.filter(
    (item) =>
      (item.kind === 'converter-level' || item.kind === 'amplifier-gain') && item.output === chain.output,
  );
  return {
    id: `chain-${i + 1}`,
    title: `The chain to the ${chain.output}`,
    caption: say`A full-scale tone at ${plainHz(chain.worstHz)}, setting ${formatSetting(chain.setting)}: the mark is what each node carries, the upright stroke what it can; the line between them is headroom.`,
    figure: chainFigure(nodes, {
      title: 'Volts RMS',
      type: 'log',
      of: (volts) => volts,
      ticks: { tickvals: VOLT_TICKS, ticktext: VOLT_TICKS.map(String) },
      hover: '%{x:.3g} V',
    }),
    figureInDbu: chainFigure(nodes, {
      title: 'Level, dBu',
      type: 'linear',
      of: voltsToDbu,
      ticks: {},
      hover: '%{x:.1f} dBu',
    }),
    table: {
      columns: ['Node', 'Carries', 'Limit', 'Headroom'],
      rows: nodes.map(({ name, volts, limit, headroom }) => [
        name,
        plainVolts(volts),
        limit === null ? 'not known' : plainVolts(limit),
        headroom,
      ]),
    },
    shows: [chain.id, ...rests.map(({ id }) => id)],
  };
}

interface Scale {
  readonly title: string;
  readonly type: 'log' | 'linear';
  readonly of: (volts: number) => number;
  readonly ticks: { readonly tickvals?: readonly number[]; readonly ticktext?: readonly string[] };
  readonly hover: string;
}

function chainFigure(nodes: readonly Node[], scale: Scale): Figure {
  const limited = nodes.filter(({ limit }) => limit !== null);
  const limitOf = (node: Node) => rounded(scale.of(node.limit as number));
  return {
    data: [
      {
        type: 'scatter',
        name: 'headroom',
        mode: 'lines',
        x: limited.flatMap((node) => [rounded(scale.of(node.volts)), limitOf(node), null]),
        y: limited.flatMap(({ name }) => [name, name, null]),
        line: { color: '--ink', width: 1, dash: 'dot' },
        hoverinfo: 'skip',
        showlegend: false,
      },
      {
        type: 'scatter',
        name: 'carries',
        mode: 'markers+text',
        x: nodes.map(({ volts }) => rounded(scale.of(volts))),
        y: nodes.map(({ name }) => name),
        text: nodes.map(({ headroom }) => headroom),
        textposition: 'top center',
        marker: { color: '--series-0', size: 10, symbol: 'diamond' },
        hovertemplate: `carries ${scale.hover}<extra></extra>`,
      },
      {
        type: 'scatter',
        name: 'limit',
        mode: 'markers',
        x: limited.map(limitOf),
        y: limited.map(({ name }) => name),
        marker: { color: '--ink', size: 18, symbol: 'line-ns', line: { color: '--ink', width: 2 } },
        hovertemplate: `limit ${scale.hover}<extra></extra>`,
      },
    ],
    layout: {
      xaxis: { title: { text: scale.title }, type: scale.type, ...scale.ticks },
      yaxis: { title: { text: '' }, type: 'category', autorange: 'reversed', automargin: true },
      height: 320,
      hovermode: 'closest',
      showlegend: true,
    },
  };
}
