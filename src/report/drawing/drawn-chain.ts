import type { Chain, ChainFeed, ChainNode, ChainTap } from '../../model/chain.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import type { TapLabel } from '../wording/statement.ts';
import {
  amplifierLines,
  bandText,
  conditionTexts,
  converterLines,
  fedText,
  speakerLines,
  tapTrimText,
  wiresText,
} from './drawing-words.ts';

/** The chain as a drawing shows it: boxes with lines of words, in the order of the signal, and volts between them. */
export interface DrawnChain {
  readonly setting: number | null;
  readonly outputs: readonly DrawnOutput[];
  readonly feeds: readonly DrawnFeed[];
}

export interface DrawnOutput {
  readonly id: string;
  readonly lines: readonly string[];
  /** RMS, for a full-scale tone at the highest clean setting; null where they are not known. */
  readonly volts: number | null;
  readonly clipsFirst: boolean;
  readonly inUse: boolean;
}

export interface DrawnFeed {
  readonly name: string;
  readonly sides: readonly {
    readonly name: string;
    readonly summed: boolean;
    readonly taps: readonly { readonly id: string; readonly swapped: boolean; readonly trim: string }[];
  }[];
  readonly stages: readonly DrawnStage[];
  /** Why there are no volts, or on what they depend; cautions of this feed. */
  readonly remarks: readonly string[];
}

export interface DrawnStage {
  readonly kind: 'converter' | 'amplifier' | 'speakers';
  readonly lines: readonly string[];
  /** What comes out of it; null at its end, and where it is not known. */
  readonly volts: number | null;
  readonly clipsFirst: boolean;
}

/** @returns null where there is no solved chain, as in results of older versions */
export function drawnChain(results: Results, label: TapLabel): DrawnChain | null {
  const { chain } = results;
  if (chain === undefined || chain.taps.length === 0) return null;
  const radioFirst = chain.feeds.some(({ clipsFirst }) => clipsFirst === 'output');
  const [highest] = recommendationsOf(results.recommendations, 'highest-clean-setting');
  return {
    setting: chain.volume.setting,
    outputs: byUse(chain).map((tap) => ({
      id: tap.tapId,
      lines: outputLines(tap, results, label),
      volts: isNotMeasurable(tap.voltsRms) ? null : tap.voltsRms.value,
      clipsFirst: radioFirst && tap.tapId === highest?.limitingTapId,
      inUse: tap.inUse,
    })),
    feeds: chain.feeds.map(drawnFeed),
  };
}

/** In the order in which the feeds take them, so that lines cross where wires do; those that nothing takes last. */
function byUse({ taps, feeds }: Chain): ChainTap[] {
  const order = feeds.flatMap(({ sides }) => sides.flatMap((side) => side.taps.map(({ tapId }) => tapId)));
  const place = (tapId: string) => (order.includes(tapId) ? order.indexOf(tapId) : order.length);
  return [...taps].sort((a, b) => place(a.tapId) - place(b.tapId));
}

function outputLines(tap: ChainTap, { session }: Results, label: TapLabel): string[] {
  const band = bandText(tap.bandHz);
  const noted = session.taps.find(({ id }) => id === tap.tapId);
  const wires = noted === undefined ? '' : wiresText(noted);
  return [`${label(tap.tapId)}${band === '' ? '' : `, ${band}`}`, ...(wires === '' ? [] : [wires])];
}

function drawnFeed(feed: ChainFeed): DrawnFeed {
  return {
    name: feed.output,
    sides: feed.sides.map(({ side, taps, summed }) => ({
      name: side === 'both' ? '' : side,
      summed: summed && taps.length > 1,
      taps: taps.map((tap) => ({
        id: tap.tapId,
        swapped: tap.polarity === 'inverted',
        trim: tapTrimText(tap),
      })),
    })),
    stages: [...converterStage(feed), ...amplifierStage(feed), speakerStage(feed)],
    remarks: conditionTexts(feed),
  };
}

function converterStage(feed: ChainFeed): DrawnStage[] {
  if (feed.direct) return [];
  return [
    {
      kind: 'converter',
      lines: converterLines(feed, knobOf(feed, 'converter output')),
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

function amplifierStage(feed: ChainFeed): DrawnStage[] {
  if (feed.amplifier === null) return [];
  return [
    {
      kind: 'amplifier',
      lines: amplifierLines(feed, knobOf(feed, 'amplifier output') ?? knobOf(feed, 'amplifier input')),
      volts: voltsOf(feed, 'amplifier output'),
      clipsFirst: isAmong(feed.clipsFirst, ['amplifier input', 'amplifier output']),
    },
  ];
}

function speakerStage(feed: ChainFeed): DrawnStage {
  return {
    kind: 'speakers',
    lines: [fedText(feed), ...speakerLines(feed)],
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
