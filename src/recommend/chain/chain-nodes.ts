import { decibels, ratioOf } from '../../dsp/decibels.ts';
import type { ChainFeed, ChainNode } from '../../model/chain.ts';
import { valueAt } from '../../model/frequency-grid.ts';
import { isNotMeasurable, type MeasuredOrReason, measured, notMeasurable } from '../../model/measured.ts';
import type { KnobTone } from './knob-tone.ts';
import { TARGET_TOLERANCE_PERCENT } from './meter-targets.ts';
import type { SolvedFeed } from './solved-feed.ts';

/** Volts, limit and knob of every place of a feed, a full-scale tone at its worst frequency, restoration on. */
export function chainNodes(
  solved: SolvedFeed,
  { radioHeadroomDb, knob }: { readonly radioHeadroomDb: number | null; readonly knob: KnobTone },
): ChainNode[] {
  const { converter, levels, direct, worstHz, tapLevel, boostDb, equalizerDb, lineLimitVolts } = solved;
  const atOutput = voltsOf(solved, valueAt(tapLevel, worstHz));
  const padDb = levels.padDb + solved.inputPadDb;
  const padded = scaled(atOutput, ratioOf(-padDb));
  const treated = ratioOf(valueAt(boostDb, worstHz) + valueAt(equalizerDb, worstHz));
  return [
    nodeOf('output', atOutput, limitAbove(atOutput, radioHeadroomDb), radioHeadroomDb),
    ...(solved.feeds.some(({ summed }) => summed) ? [nodeOf('sum', atOutput, null)] : []),
    ...(padDb > 0 ? [nodeOf('pad', padded, null)] : []),
    ...(direct
      ? [nodeOf('amplifier input', padded, solved.lineLimitVolts)]
      : [
          nodeOf('converter input', padded, converter?.inputLimitVoltsRms ?? null),
          ...(solved.hasRestoration ? [nodeOf('restoration', scaled(padded, treated), null)] : []),
          {
            ...nodeOf('converter output', exact(levels.lineVolts), lineLimitVolts),
            knob: {
              kind: 'converter level' as const,
              unit: 'dB' as const,
              range: converter === null ? null : ([...converter.gainRangeDb] as [number, number]),
              setTo: decibels(levels.converterGain) + padDb,
              reading: readingOf(solved, knob, levels.converterGain),
            },
          },
        ]),
    ...amplifierNodes(solved, knob),
  ];
}

function amplifierNodes(solved: SolvedFeed, knob: KnobTone): ChainNode[] {
  const { amplifier, levels, load, direct, worstHz, tapLevel, boostDb, equalizerDb } = solved;
  if (amplifier === null || levels.amplifierGain === null || levels.outputVolts === null) return [];
  const ratedVolts = Math.sqrt(amplifier.ratedWatts * amplifier.ratedOhms);
  const treated = ratioOf(valueAt(boostDb, worstHz) + valueAt(equalizerDb, worstHz));
  const line = direct ? valueAt(tapLevel, worstHz) * treated * levels.converterGain : levels.lineVolts;
  const range = amplifier.sensitivityRangeVoltsRms;
  return [
    {
      ...nodeOf('amplifier output', exact(line * levels.amplifierGain), ratedVolts),
      knob: {
        kind: 'amplifier gain',
        unit: 'V for full output',
        range: direct && amplifier.speakerInputLimitVoltsRms !== null ? null : [...range],
        setTo: levels.sensitivityVolts!,
        reading: readingOf(solved, knob, levels.converterGain * levels.amplifierGain),
      },
    },
    nodeOf('load', exact(levels.outputVolts), Number.isFinite(load.ratedVolts) ? load.ratedVolts : null),
  ];
}

/** The tone that a knob is set by, restoration off. */
function readingOf(
  { equalizerDb, hasRestoration }: SolvedFeed,
  { toneHz, driveDbFs, setting, tapLevel }: KnobTone,
  gain: number,
): NonNullable<ChainNode['knob']>['reading'] {
  const value = valueAt(tapLevel, toneHz) * gain * ratioOf(driveDbFs + valueAt(equalizerDb, toneHz));
  return {
    toneHz,
    driveDbFs,
    setting,
    restoration: hasRestoration ? 'off' : 'none',
    voltsRms: measured({ value, plusMinus: (value * TARGET_TOLERANCE_PERCENT) / 100 }),
    tolerancePercent: TARGET_TOLERANCE_PERCENT,
  };
}

/** Stages this close clip together: the earlier one is named. */
const TOGETHER_DB = 0.01;

/** The place with the least headroom; a load burns, it does not clip. Null where fewer than two places are known. */
export function clipsFirst(nodes: readonly ChainNode[]): ChainFeed['clipsFirst'] {
  const known = nodes.filter(({ kind, headroomDb }) => headroomDb !== null && kind !== 'load');
  if (known.length < 2) return null;
  return known.reduce((least, node) => (node.headroomDb! < least.headroomDb! - TOGETHER_DB ? node : least))
    .kind;
}

function nodeOf(
  kind: ChainNode['kind'],
  voltsRms: MeasuredOrReason,
  limitVoltsRms: number | null,
  headroomDb: number | null = null,
): ChainNode {
  const known = !isNotMeasurable(voltsRms) && limitVoltsRms !== null && Number.isFinite(limitVoltsRms);
  return {
    kind,
    voltsRms,
    limitVoltsRms: limitVoltsRms !== null && Number.isFinite(limitVoltsRms) ? limitVoltsRms : null,
    headroomDb: headroomDb ?? (known ? decibels(limitVoltsRms / voltsRms.value) : null),
    knob: null,
  };
}

function limitAbove(voltsRms: MeasuredOrReason, headroomDb: number | null): number | null {
  return isNotMeasurable(voltsRms) || headroomDb === null ? null : voltsRms.value * ratioOf(headroomDb);
}

function voltsOf({ inVolts, relativePlusMinus }: SolvedFeed, value: number): MeasuredOrReason {
  return inVolts
    ? measured({ value, plusMinus: value * relativePlusMinus })
    : notMeasurable({ code: 'volts not known' });
}

function scaled(volts: MeasuredOrReason, factor: number): MeasuredOrReason {
  if (isNotMeasurable(volts)) return volts;
  return measured({ value: volts.value * factor, plusMinus: volts.plusMinus * factor });
}

function exact(value: number): MeasuredOrReason {
  return measured({ value, plusMinus: 0 });
}
