import type { Chain, ChainFeed, ChainNode, ChainTap } from '../../model/chain.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { type FeedTap, recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { outputNames } from '../wording/output-names.ts';
import type { TapLabel } from '../wording/statement.ts';
import {
  amplifierLines,
  bandText,
  conditionTexts,
  converterLines,
  fedText,
  sideLetter,
  speakerLines,
  swapText,
  tapTrimText,
  wiresText,
} from './drawing-words.ts';
import type { Detail, DrawnChain, DrawnFeed, DrawnStage } from './drawn.ts';
import { pairsOf } from './pairs.ts';

/** @returns null where there is no solved chain, as in results of older versions */
export function drawnChain(results: Results, label: TapLabel, detail: Detail): DrawnChain | null {
  const { chain } = results;
  if (chain === undefined || chain.taps.length === 0) return null;
  const radioFirst = chain.feeds.some(({ clipsFirst }) => clipsFirst === 'output');
  const [highest] = recommendationsOf(results.recommendations, 'highest-clean-setting');
  const groups = detail === 'brief' ? pairsOf(chain) : chain.taps.map((tap) => [tap]);
  const ids = new Map(groups.flatMap((taps) => taps.map(({ tapId }) => [tapId, taps[0].tapId] as const)));
  return {
    setting: chain.volume.setting,
    outputs: byUse(chain, groups).map((taps) => ({
      id: taps[0].tapId,
      lines: outputLines(taps, results, label, detail),
      volts: isNotMeasurable(taps[0].voltsRms) ? null : taps[0].voltsRms.value,
      clipsFirst: radioFirst && taps.some(({ tapId }) => tapId === highest?.limitingTapId),
      inUse: taps[0].inUse,
    })),
    feeds: chain.feeds.map((feed) => ({
      name: feed.output,
      sides: drawnSides(feed, ids, chain.taps),
      stages: [...converterStage(feed, detail), ...amplifierStage(feed, detail), speakerStage(feed, detail)],
      remarks: conditionTexts(feed, detail),
    })),
  };
}

/** In the order in which the feeds take them, so that lines cross where wires do; those that nothing takes last. */
function byUse({ feeds }: Chain, groups: readonly ChainTap[][]): ChainTap[][] {
  const order = feeds.flatMap(({ sides }) => sides.flatMap((side) => side.taps.map(({ tapId }) => tapId)));
  const place = ([{ tapId }]: ChainTap[]) => (order.includes(tapId) ? order.indexOf(tapId) : order.length);
  return [...groups].sort((a, b) => place(a) - place(b));
}

function outputLines(taps: readonly ChainTap[], results: Results, label: TapLabel, detail: Detail): string[] {
  const band = bandText(taps[0].bandHz);
  const name = outputNames(
    results,
    taps.map(({ tapId }) => tapId),
    label,
  );
  const wires = taps.flatMap(({ tapId }) => {
    const noted = results.session.taps.find(({ id }) => id === tapId);
    const text = noted === undefined ? '' : wiresText(noted, detail);
    return text === '' ? [] : [taps.length === 1 ? text : `${sideLetter(noted?.side)} ${text}`];
  });
  return [`${name}${band === '' ? '' : `, ${band}`}`, ...wires];
}

/** Sides that are drawn alike are one; a pair within one side, as for a subwoofer, is one wire, too. */
function drawnSides(
  { sides }: ChainFeed,
  ids: ReadonlyMap<string, string>,
  taps: readonly ChainTap[],
): DrawnFeed['sides'] {
  const idOf = ({ tapId }: FeedTap) => ids.get(tapId) ?? tapId;
  const alike = new Map<string, ChainFeed['sides']>();
  for (const side of sides) {
    const key = JSON.stringify([side.summed, side.taps.map((tap) => [idOf(tap), tapTrimText(tap)])]);
    alike.set(key, [...(alike.get(key) ?? []), side]);
  }
  return [...alike.values()].map((group) => {
    const own = group.flatMap((side) => side.taps);
    const drawn = [...new Set(own.map(idOf))].map((id) => own.filter((tap) => idOf(tap) === id));
    const [{ side, summed }] = group;
    return {
      name: group.length > 1 || side === 'both' ? '' : side,
      summed: summed && drawn.length > 1,
      taps: drawn.map((behind) => ({
        id: idOf(behind[0]),
        swap: swapOf(behind, taps),
        trim: tapTrimText(behind[0]),
      })),
    };
  });
}

function swapOf(behind: readonly FeedTap[], taps: readonly ChainTap[]): string {
  const swapped = behind.filter(({ polarity }) => polarity === 'inverted');
  if (swapped.length === 0) return '';
  const side = taps.find(({ tapId }) => tapId === swapped[0].tapId)?.side ?? '';
  return swapText(swapped.length === behind.length ? '' : side);
}

function converterStage(feed: ChainFeed, detail: Detail): DrawnStage[] {
  if (feed.direct) return [];
  return [
    {
      kind: 'converter',
      part: 'converter',
      lines: converterLines(feed, knobOf(feed, 'converter output'), detail),
      volts: voltsOf(feed, 'converter output'),
      clipsFirst: isAmong(feed.clipsFirst, [
        'sum',
        'pad',
        'converter input',
        'restoration',
        'converter output',
      ]),
    },
  ];
}

function amplifierStage(feed: ChainFeed, detail: Detail): DrawnStage[] {
  if (feed.amplifier === null) return [];
  return [
    {
      kind: 'amplifier',
      part: feed.amplifier.name,
      lines: amplifierLines(
        feed,
        knobOf(feed, 'amplifier output') ?? knobOf(feed, 'amplifier input'),
        detail,
      ),
      volts: voltsOf(feed, 'amplifier output'),
      clipsFirst: isAmong(feed.clipsFirst, ['amplifier input', 'amplifier output']),
    },
  ];
}

function speakerStage(feed: ChainFeed, detail: Detail): DrawnStage {
  return {
    kind: 'speakers',
    part: feed.output,
    lines: [fedText(feed), ...speakerLines(feed, detail)],
    volts: null,
    clipsFirst: feed.clipsFirst === 'load',
  };
}

function nodeOf({ nodes }: ChainFeed, kind: ChainNode['kind']): ChainNode | undefined {
  return nodes.find((node) => node.kind === kind);
}

function knobOf(feed: ChainFeed, kind: ChainNode['kind']): ChainNode['knob'] {
  return feed.noGains.length > 0 ? null : (nodeOf(feed, kind)?.knob ?? null);
}

function voltsOf(feed: ChainFeed, kind: ChainNode['kind']): number | null {
  const volts = nodeOf(feed, kind)?.voltsRms;
  return volts === undefined || isNotMeasurable(volts) || feed.noGains.length > 0 ? null : volts.value;
}

function isAmong(kind: ChainNode['kind'] | null, kinds: readonly ChainNode['kind'][]): boolean {
  return kind !== null && kinds.includes(kind);
}
