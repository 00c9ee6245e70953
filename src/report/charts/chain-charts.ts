import { isNotMeasurable } from '../../model/measured.ts';
import { type RecommendationOf, recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { formatSetting, listed, plainDb, plainHz, plainVolts, voltsToDbu } from '../format.ts';
import { say } from '../sentence.ts';
import { alikeGroups, SAME_CURVE_DB, twinsText } from './alike.ts';
import { type Chart, type Figure, rounded, VOLT_TICKS } from './figure.ts';

interface Chain {
  readonly advice: RecommendationOf<'gain-structure'>;
  readonly nodes: readonly Node[];
}

interface Node {
  readonly name: string;
  readonly volts: number;
  readonly limit: number | null;
  readonly headroom: string;
}

/** Volts at every node from the tap to the speaker, beside the limit of each; outputs set alike share a picture. */
export function chainCharts(results: Results): Chart[] {
  const chains = recommendationsOf(results.recommendations, 'gain-structure')
    .map((advice) => ({ advice, nodes: nodesOf(advice) }))
    .filter(({ nodes }) => nodes.length > 0);
  return alikeGroups(chains, (a, b) => chainsApartDb(a, b) < SAME_CURVE_DB).map((group, i) =>
    chainChart(results, group, i),
  );
}

function nodesOf({ nodes }: Chain['advice']): Node[] {
  return nodes.flatMap(({ node, voltsRms, limitVoltsRms, headroomDb }) =>
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
}

/** Infinite where tone, setting, nodes or limits differ. */
function chainsApartDb(a: Chain, b: Chain): number {
  const frame = ({ advice: { setting, worstHz }, nodes }: Chain) =>
    JSON.stringify([setting, worstHz, nodes.map(({ name, limit }) => [name, limit === null])]);
  if (frame(a) !== frame(b)) return Number.POSITIVE_INFINITY;
  const ratioDb = (here: number, there: number) => Math.abs(20 * Math.log10(here / there));
  return Math.max(
    ...a.nodes.flatMap(({ volts, limit }, i) => [
      ratioDb(volts, b.nodes[i].volts),
      ratioDb(limit ?? 1, b.nodes[i].limit ?? 1),
    ]),
  );
}

function chainChart(results: Results, group: readonly [Chain, ...Chain[]], i: number): Chart {
  const [drawn] = group;
  const { advice, nodes } = drawn;
  const outputs = group.map((chain) => chain.advice.output);
  const rests = results.recommendations.filter(
    (item) =>
      (item.kind === 'converter-level' || item.kind === 'amplifier-gain') && outputs.includes(item.output),
  );
  const apart = Math.max(0, ...group.slice(1).map((other) => chainsApartDb(drawn, other)));
  return {
    id: `chain-${i + 1}`,
    title: `The chain to the ${listed(outputs)}`,
    caption: say`A full-scale tone at ${plainHz(advice.worstHz)}, setting ${formatSetting(advice.setting)}: the mark is what each node carries, the upright stroke what it can; the line between them is headroom.${twinsText(outputs, apart)}`,
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
    tables: group.map((chain) => ({
      name: chain.advice.output,
      columns: ['Node', 'Carries', 'Limit', 'Headroom'],
      rows: chain.nodes.map(({ name, volts, limit, headroom }) => [
        name,
        plainVolts(volts),
        limit === null ? 'not known' : plainVolts(limit),
        headroom,
      ]),
    })),
    shows: [...group.map((chain) => chain.advice.id), ...rests.map(({ id }) => id)],
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
        mode: 'markers',
        x: nodes.map(({ volts }) => rounded(scale.of(volts))),
        y: nodes.map(({ name }) => name),
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
      yaxis: {
        title: { text: '' },
        type: 'category',
        autorange: 'reversed',
        automargin: true,
        tickvals: nodes.map(({ name }) => name),
        ticktext: nodes.map(({ name, headroom }) => `${name}<br>${headroom}`),
      },
      height: 300,
      hovermode: 'closest',
      showlegend: true,
    },
  };
}
