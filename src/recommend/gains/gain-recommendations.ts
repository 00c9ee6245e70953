import { measured, notMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import { filterLossDb } from '../filters/filter-loss.ts';
import { findingsAbout, idsOf, limitersOn, type PlanContext } from '../plan-context.ts';
import { type GainChain, lineVolts } from './gain-chain.ts';
import type { HighestClean } from './highest-clean-setting.ts';
import {
  driveForOverlap,
  isHeld,
  METER_DRIVES_DB_FS,
  meterTargets,
  TARGET_TOLERANCE_PERCENT,
} from './meter-targets.ts';

/** The tone that a knob is set by: both are low enough for any meter, and in the band of what they set. */
const SET_BY_HZ = { subwoofer: 55, front: 100, rear: 100, centre: 100 } as const;

/** The converter's level for one output, as meter readings; null where the signal goes straight to the amplifier. */
export function converterLevel(
  context: PlanContext,
  chain: GainChain,
  clean: HighestClean,
): RecommendationOf<'converter-level'> | null {
  if (chain.direct) return null;
  const gainDb = 20 * Math.log10(chain.gain);
  return {
    kind: 'converter-level',
    id: `converter-level-${chain.output}`,
    order: 0,
    restsOn: levelFindings(context, chain),
    reasons: [
      'the converter as hot as the line allows and the amplifier’s gain low: least hiss',
      ...(chain.limitAssumed
        ? [`${chain.lineLimitVolts} V at the line is assumed: no converter is given`]
        : []),
      ...(clean.recorded === null
        ? [
            `how far the volume may go is not known: worked out for setting ${chain.setting}, the highest recorded`,
          ]
        : []),
      ...(chain.inVolts ? [] : [withheldReason(context)]),
      ...limiterReasons(context, chain),
    ],
    output: chain.output,
    gainDb: chain.inVolts
      ? measured({ value: gainDb, plusMinus: 20 * Math.log10(1 + chain.relativePlusMinus) })
      : notMeasurable(withheldReason(context)),
    outputVoltsRms: chain.lineVoltsAtWorst,
    outputLimitVoltsRms: chain.lineLimitVolts,
    limitAssumed: chain.limitAssumed,
    worstHz: chain.worstHz,
    tolerancePercent: TARGET_TOLERANCE_PERCENT,
    targets: meterTargets({
      ...lineVolts(chain),
      setting: chain.setting,
      limitVoltsRms: chain.lineLimitVolts,
      loadOhms: null,
      ...setBy(context, chain),
    }),
  };
}

/** An amplifier's input gain, as meter readings at its output; null where no amplifier is given. */
export function amplifierGain(
  context: PlanContext,
  chain: GainChain,
  filters: readonly RecommendationOf<'filter'>[],
): RecommendationOf<'amplifier-gain'> | null {
  const { amplifier, stage } = chain;
  if (amplifier === null || stage === null) return null;
  const knob = setBy(context, chain);
  const line = lineVolts(chain);
  const atOutput = (volts: Float64Array) => volts.map((value) => value * stage.gain);
  return {
    kind: 'amplifier-gain',
    id: `amplifier-gain-${chain.output}`,
    order: 0,
    restsOn: levelFindings(context, chain),
    reasons: [
      `${round(stage.wattsAtLoad)} W into ${stage.loadOhms} ohm is ${stage.fullOutputVolts.toFixed(1)} V`,
      'set with the amplifier’s filters and bass controls off, loudspeakers unplugged or a load on',
      ...filterReasons(filters, { output: chain.output, toneHz: knob.setBy.toneHz }),
      ...(stage.limitedByLoad ? ['the loudspeaker’s rating ends it, not the amplifier’s'] : []),
      ...(amplifier.gainOverlapDb > 0
        ? [
            `gain overlap ${amplifier.gainOverlapDb} dB: full output is reached ${amplifier.gainOverlapDb} dB below full scale`,
          ]
        : []),
      ...limiterReasons(context, chain),
    ],
    output: chain.output,
    amplifier: amplifier.name,
    wattsAtLoad: stage.wattsAtLoad,
    loadOhms: stage.loadOhms,
    fullOutputVoltsRms: stage.fullOutputVolts,
    gainOverlapDb: amplifier.gainOverlapDb,
    sensitivityVoltsRms: stage.sensitivityVolts,
    inRange: stage.inRange,
    tolerancePercent: TARGET_TOLERANCE_PERCENT,
    targets: meterTargets({
      voltsOff: atOutput(line.voltsOff),
      voltsOn: line.voltsOn === null ? null : atOutput(line.voltsOn),
      setting: chain.setting,
      limitVoltsRms: stage.fullOutputVolts,
      loadOhms: stage.loadOhms,
      ...knob,
    }),
  };
}

/** Less than this is within the tolerance of a target. */
const WORTH_TELLING_DB = 0.1;

/** Filters that cannot be switched off read lower; the target is for the amplifier without them. */
function filterReasons(
  filters: readonly RecommendationOf<'filter'>[],
  { output, toneHz }: { output: GainChain['output']; toneHz: number },
): string[] {
  return filters.flatMap((filter) => {
    const { leastDb, mostDb } = filterLossDb({ ...filter, toneHz });
    if (filter.output !== output || mostDb < WORTH_TELLING_DB) return [];
    const range =
      mostDb - leastDb < WORTH_TELLING_DB
        ? mostDb.toFixed(1)
        : `${leastDb.toFixed(1)} (Butterworth) to ${mostDb.toFixed(1)} (Linkwitz-Riley)`;
    return [
      `with its ${filter.type} at ${filter.cornerHz} Hz in the way the ${toneHz} Hz tone reads ${range} dB lower: set the gain first, the filter afterwards`,
    ];
  });
}

/** The usual tone at the drive of the gain overlap; quieter, or 997 Hz, where a limiter holds that. */
function setBy(context: PlanContext, { output, amplifier, tapIds, setting }: GainChain) {
  const limiterDriveDbFs = limiterDrive(context, { tapIds, setting });
  const usual = { toneHz: SET_BY_HZ[output], driveDbFs: driveForOverlap(amplifier?.gainOverlapDb ?? 0) };
  const quieter = METER_DRIVES_DB_FS.map((driveDbFs) => ({
    ...usual,
    driveDbFs: Math.min(usual.driveDbFs, driveDbFs),
  }));
  const free = [usual, ...quieter].find((tone) => !isHeld({ ...tone, limiterDriveDbFs }));
  return { setBy: free ?? { ...usual, toneHz: 997 }, limiterDriveDbFs };
}

/** Lowest drive at which a limiter of these taps sets in at this setting, or at the nearest louder one that tells. */
function limiterDrive(
  context: PlanContext,
  { tapIds, setting }: { tapIds: readonly string[]; setting: number },
): number | null {
  const drives = limitersOn(context, tapIds).flatMap(({ perSetting }) => {
    const here = perSetting.find((one) => one.setting >= setting && 'value' in one.thresholdDriveDbFs);
    return here !== undefined && 'value' in here.thresholdDriveDbFs ? [here.thresholdDriveDbFs.value] : [];
  });
  return drives.length === 0 ? null : Math.min(...drives);
}

function levelFindings(context: PlanContext, { tapIds }: GainChain): string[] {
  return idsOf([
    ...findingsAbout(context, 'volume-law', tapIds),
    ...findingsAbout(context, 'clipping', tapIds),
    ...findingsAbout(context, 'bass-change', tapIds),
    ...findingsAbout(context, 'rail', tapIds),
  ]);
}

function limiterReasons(context: PlanContext, chain: GainChain): string[] {
  const drive = limiterDrive(context, chain);
  return drive === null
    ? []
    : [
        `the radio’s bass limiter holds low tones above ${drive.toFixed(0)} dBFS: no reading is given for those`,
      ];
}

function withheldReason({ voltsWithheld }: PlanContext): Reason {
  return (
    voltsWithheld ??
    'the recordings are not calibrated: set by the readings, the gain in decibels is not predicted'
  );
}

function round(value: number): number {
  return Math.round(value);
}
