import { decibels, ratioOf } from '../../dsp/decibels.ts';
import type { ChainFeed } from '../../model/chain.ts';
import { measured, notMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { filterLossDb } from '../filters/filter-loss.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';
import type { FeedWithTone, KnobTone } from './knob-tone.ts';
import { meterTargets, TARGET_TOLERANCE_PERCENT } from './meter-targets.ts';
import type { SolvedFeed } from './solved-feed.ts';

/** The converter's level for one output, as meter readings; null where there is nothing to turn, or no gain is to be had. */
export function converterLevel(
  context: PlanContext,
  solved: FeedWithTone,
  feed: ChainFeed,
): AdviceOf<'converter-level'> | null {
  const { levels, inVolts, knob } = solved;
  if (feed.direct || feed.noGains.length > 0 || knob === null) return null;
  const gainDb = decibels(levels.converterGain) + levels.padDb + solved.inputPadDb;
  return {
    kind: 'converter-level',
    id: `converter-level-${solved.output}`,
    restsOn: levelFindings(context, solved),
    reasons: [
      levelReason(levels.lineLimit),
      ...(solved.limitAssumed ? [{ code: 'line volts assumed' as const, volts: solved.lineLimitVolts }] : []),
      ...(inVolts ? [] : [withheldReason(context)]),
      ...limiterReasons(solved, knob),
    ],
    output: solved.output,
    gainDb: inVolts
      ? measured({ value: gainDb, plusMinus: decibels(1 + solved.relativePlusMinus) })
      : notMeasurable(withheldReason(context)),
    outputVoltsRms: levels.lineVolts,
    outputLimitVoltsRms: solved.lineLimitVolts,
    limitAssumed: solved.limitAssumed,
    worstHz: solved.worstHz,
    tolerancePercent: TARGET_TOLERANCE_PERCENT,
    targets: targetsAt(solved, knob, {
      gain: levels.converterGain,
      limitVoltsRms: solved.lineLimitVolts,
      loadOhms: null,
    }),
  };
}

/** An amplifier's input gain, as meter readings at its output; null without an amplifier, or where no gain is to be had. */
export function amplifierGain(
  context: PlanContext,
  solved: FeedWithTone,
  feed: ChainFeed,
): AdviceOf<'amplifier-gain'> | null {
  const { amplifier, levels, load, knob } = solved;
  if (amplifier === null || feed.noGains.length > 0 || levels.outputVolts === null || knob === null)
    return null;
  const wattsAtLoad = levels.outputVolts ** 2 / load.load.ohms;
  return {
    kind: 'amplifier-gain',
    id: `amplifier-gain-${solved.output}`,
    restsOn: levelFindings(context, solved),
    reasons: [
      { code: 'watts into ohms', watts: wattsAtLoad, ohms: load.load.ohms, volts: levels.outputVolts },
      { code: 'gain before filters' },
      ...filterReasons(feed, knob),
      ...(levels.bindingLimit === 'load rating' ? [{ code: 'speaker rating ends it' as const }] : []),
      ...(levels.gainOverlapDb > 0
        ? [{ code: 'gain overlap' as const, overlapDb: levels.gainOverlapDb }]
        : []),
      ...limiterReasons(solved, knob),
      ...feed.conditions,
    ],
    output: solved.output,
    amplifier: amplifier.name,
    wattsAtLoad,
    loadOhms: load.load.ohms,
    fullOutputVoltsRms: levels.outputVolts,
    gainOverlapDb: levels.gainOverlapDb,
    sensitivityVoltsRms: levels.sensitivityVolts!,
    inRange: true,
    tolerancePercent: TARGET_TOLERANCE_PERCENT,
    targets: targetsAt(solved, knob, {
      gain: levels.converterGain * levels.amplifierGain!,
      limitVoltsRms: levels.outputVolts,
      loadOhms: load.load.ohms,
    }),
  };
}

/** Readings behind a gain from the output; restoration is judged at the setting of the gains only. */
function targetsAt(
  { boostDb, equalizerDb, hasRestoration, setting }: SolvedFeed,
  knob: KnobTone,
  { gain, limitVoltsRms, loadOhms }: { gain: number; limitVoltsRms: number; loadOhms: number | null },
) {
  const voltsOff = knob.tapLevel.map((value, i) => value * gain * ratioOf(equalizerDb[i]));
  const isOwnSetting = knob.setting === setting;
  return meterTargets({
    setting: knob.setting,
    voltsOff,
    voltsOn: hasRestoration && isOwnSetting ? voltsOff.map((value, i) => value * ratioOf(boostDb[i])) : null,
    offIs: hasRestoration ? 'off' : 'none',
    limitVoltsRms,
    loadOhms,
    setBy: knob,
    limiterDriveDbFs: knob.limiterDriveDbFs,
  });
}

function levelReason(limit: SolvedFeed['levels']['lineLimit']): Reason {
  if (limit === 'converter gain at its top') return { code: 'converter at its top' };
  return limit === 'amplifier gain at its bottom'
    ? { code: 'converter turned down' }
    : { code: 'converter hot' };
}

/** Less than this is within the tolerance of a target. */
const WORTH_TELLING_DB = 0.1;

/** Filters that cannot be switched off read lower; the target is for the amplifier without them. */
function filterReasons({ filters }: ChainFeed, { toneHz }: KnobTone): Reason[] {
  return filters.flatMap((filter): Reason[] => {
    const { leastDb, mostDb } = filterLossDb({ ...filter, toneHz });
    if (filter.state === 'open' || mostDb < WORTH_TELLING_DB) return [];
    return [
      { code: 'filter in the way', type: filter.type, cornerHz: filter.cornerHz, toneHz, leastDb, mostDb },
    ];
  });
}

function levelFindings(context: PlanContext, { tapIds }: SolvedFeed): string[] {
  return idsOf([
    ...findingsAbout(context, 'volume-law', tapIds),
    ...findingsAbout(context, 'clipping', tapIds),
    ...findingsAbout(context, 'clean-settings', tapIds),
    ...findingsAbout(context, 'bass-change', tapIds),
    ...findingsAbout(context, 'rail', tapIds),
  ]);
}

function limiterReasons({ setting }: SolvedFeed, knob: KnobTone): Reason[] {
  if (knob.limiterDriveDbFs === null) return [];
  return [
    { code: 'limiter holds low tones', aboveDriveDbFs: knob.limiterDriveDbFs, setting: knob.setting },
    ...(knob.setting === setting ? [] : [{ code: 'tone below the limiter' as const, setting: knob.setting }]),
  ];
}

function withheldReason({ voltsWithheld }: PlanContext): Reason {
  return voltsWithheld ?? { code: 'volts not known' };
}
