import { measured, notMeasurable } from '../model/measured.ts';
import type { RecommendationOf } from '../model/recommendation.ts';
import { type GainChain, lineVolts } from './gain-chain.ts';
import { driveForOverlap, meterTargets, TARGET_TOLERANCE_PERCENT } from './meter-targets.ts';
import { findingsAbout, idsOf, limitersOn, type PlanContext } from './plan-context.ts';

/** The tone that a knob is set by: both are low enough for any meter, and in the band of what they set. */
const SET_BY_HZ = { subwoofer: 55, front: 100, rear: 100, centre: 100 } as const;

/** The converter's level for one output, as meter readings; null where the signal goes straight to the amplifier. */
export function converterLevel(
  context: PlanContext,
  chain: GainChain,
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
      setBy: setBy(chain),
    }),
  };
}

/** An amplifier's input gain, as meter readings at its output; null where no amplifier is given. */
export function amplifierGain(
  context: PlanContext,
  chain: GainChain,
): RecommendationOf<'amplifier-gain'> | null {
  const { amplifier, stage } = chain;
  if (amplifier === null || stage === null) return null;
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
      setBy: setBy(chain),
    }),
  };
}

function setBy({ output, amplifier }: GainChain) {
  return { toneHz: SET_BY_HZ[output], driveDbFs: driveForOverlap(amplifier?.gainOverlapDb ?? 0) };
}

function levelFindings(context: PlanContext, { tapIds }: GainChain): string[] {
  return idsOf([
    ...findingsAbout(context, 'volume-law', tapIds),
    ...findingsAbout(context, 'clipping', tapIds),
    ...findingsAbout(context, 'bass-change', tapIds),
    ...findingsAbout(context, 'rail', tapIds),
  ]);
}

/** A limiter holds low tones down: the reading is reached only below its threshold. */
function limiterReasons(context: PlanContext, { tapIds }: GainChain): string[] {
  return limitersOn(context, tapIds).length === 0
    ? []
    : [
        'a bass limiter is at work: the 55 Hz readings hold only with the tones that stay below it; set by 100 Hz or a lower tone',
      ];
}

function withheldReason({ voltsWithheld }: PlanContext): string {
  return (
    voltsWithheld ??
    'the recordings are not calibrated: set by the readings, the gain in decibels is not predicted'
  );
}

function round(value: number): number {
  return Math.round(value);
}
