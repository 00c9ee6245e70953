import { findingsOf } from '../../model/finding.ts';
import { valueAt } from '../../model/frequency-grid.ts';
import { isNotMeasurable, type MeasuredOrReason, measured, notMeasurable } from '../../model/measured.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';
import type { GainChain } from './gain-chain.ts';
import type { HighestClean } from './highest-clean-setting.ts';

type GainStructure = RecommendationOf<'gain-structure'>;
type Node = GainStructure['nodes'][number];

/** Volts, headroom and noise from the tap to the speaker, a full-scale tone at the worst frequency, restoration on. */
export function gainStructure(context: PlanContext, chain: GainChain, clean: HighestClean): GainStructure {
  const { worstHz, setting, output, tapIds } = chain;
  const atTap = valueAt(chain.tapLevel, worstHz);
  const tapVolts = volts(chain, atTap);
  const radioDb = radioHeadroomDb(context, chain, clean);
  const inputLimit = chain.direct ? chain.lineLimitVolts : (chain.converter?.inputLimitVoltsRms ?? null);
  const nodes: Node[] = [
    { node: 'tap', voltsRms: tapVolts, limitVoltsRms: limitFrom(tapVolts, radioDb), headroomDb: radioDb },
    nodeOf('converter input', tapVolts, inputLimit),
    ...(chain.direct
      ? []
      : [nodeOf('converter output', exact(chain.lineVoltsAtWorst), chain.lineLimitVolts)]),
    ...amplifierNode(chain),
  ];
  return {
    kind: 'gain-structure',
    id: `gain-structure-${output}`,
    order: 0,
    restsOn: idsOf([
      ...findingsAbout(context, 'clipping', tapIds),
      ...findingsAbout(context, 'noise', tapIds),
      ...findingsAbout(context, 'rail', tapIds),
    ]),
    reasons: [
      'the stage with the least headroom clips first as the volume rises past the highest clean setting',
    ],
    output,
    setting,
    worstHz,
    nodes,
    clipsFirst: clipsFirst(nodes),
    spreadDb: spread(nodes, chain),
    radioFirstLineVoltsRms:
      radioDb === null || chain.direct
        ? undefined
        : chain.lineVoltsAtWorst * 10 ** (-Math.max(0, radioDb) / 20),
    noise: noiseAtSpeaker(context, chain),
  };
}

/** Noise of independent stages adds in power; each stage's share of what is heard at the speaker. */
export function noiseShares(stages: {
  readonly radioVolts: number;
  readonly converterVolts: number;
  readonly amplifierVolts: number;
  readonly gainTapToSpeaker: number;
  readonly amplifierGain: number;
}): { atSpeakerVolts: number; shares: NonNullable<GainStructure['noise']>['shares'] } {
  const power = {
    radio: (stages.radioVolts * stages.gainTapToSpeaker) ** 2,
    converter: (stages.converterVolts * stages.amplifierGain) ** 2,
    amplifier: (stages.amplifierVolts * stages.amplifierGain) ** 2,
  };
  const total = power.radio + power.converter + power.amplifier;
  const stage = (name: keyof typeof power) => ({ stage: name, share: total === 0 ? 0 : power[name] / total });
  return {
    atSpeakerVolts: Math.sqrt(total),
    shares: [stage('radio'), stage('converter'), stage('amplifier')],
  };
}

function volts({ inVolts, relativePlusMinus }: GainChain, value: number): MeasuredOrReason {
  return inVolts
    ? measured({ value, plusMinus: value * relativePlusMinus })
    : notMeasurable('the volts at the tap are not known');
}

function exact(value: number): MeasuredOrReason {
  return measured({ value, plusMinus: 0 });
}

/** By the rail where it was measured, else by how far the clean setting lies below the computed one. */
function radioHeadroomDb(context: PlanContext, chain: GainChain, clean: HighestClean): number | null {
  const rail = findingsOf(context.findings, 'rail')[0];
  if (rail !== undefined && chain.inVolts && context.voltsWithheld === null) {
    const worst = clean.voltsRms;
    if (!isNotMeasurable(worst)) return 20 * Math.log10(rail.clipVoltsPeak.value / Math.SQRT2 / worst.value);
  }
  const law = findingsAbout(context, 'volume-law', chain.tapIds)[0]?.dbPerStep;
  if (law == null || clean.recorded === null || clean.computed === null) return null;
  return Math.max(0, clean.computed - clean.recorded) * law;
}

function limitFrom(voltsRms: MeasuredOrReason, headroomDb: number | null): number | null {
  return isNotMeasurable(voltsRms) || headroomDb === null ? null : voltsRms.value * 10 ** (headroomDb / 20);
}

function nodeOf(node: Node['node'], voltsRms: MeasuredOrReason, limitVoltsRms: number | null): Node {
  const known = !isNotMeasurable(voltsRms) && limitVoltsRms !== null;
  return {
    node,
    voltsRms,
    limitVoltsRms,
    headroomDb: known ? 20 * Math.log10(limitVoltsRms / voltsRms.value) : null,
  };
}

function amplifierNode({ stage, amplifier, lineVoltsAtWorst }: GainChain): Node[] {
  if (stage === null || amplifier === null) return [];
  return [nodeOf('amplifier output', exact(lineVoltsAtWorst * stage.gain), stage.fullOutputVolts)];
}

/** Stages this close clip together: the earlier one is named. */
const TOGETHER_DB = 0.01;

const CLIPPING_STAGE = {
  tap: 'radio',
  'converter input': 'converter input',
  'converter output': 'converter output',
  'amplifier output': 'amplifier',
} as const;

function clipsFirst(nodes: readonly Node[]): GainStructure['clipsFirst'] {
  const known = nodes.filter(({ headroomDb }) => headroomDb !== null);
  if (known.length < 2) return 'not told';
  return CLIPPING_STAGE[
    known.reduce((least, node) => (node.headroomDb! < least.headroomDb! - TOGETHER_DB ? node : least)).node
  ];
}

function spread(nodes: readonly Node[], { amplifier }: GainChain): number | null {
  const overlapDb = amplifier?.gainOverlapDb ?? 0;
  const stages = nodes.flatMap(({ node, headroomDb }) =>
    headroomDb === null || node === 'converter input'
      ? []
      : [node === 'amplifier output' ? headroomDb + overlapDb : headroomDb],
  );
  return stages.length < 2 ? null : Math.max(...stages) - Math.min(...stages);
}

/** Null without an amplifier, or where the radio's own noise was not measured in volts. */
function noiseAtSpeaker(context: PlanContext, chain: GainChain): GainStructure['noise'] {
  const { stage, amplifier, converter, gain, setting, tapIds, inVolts } = chain;
  if (stage === null || amplifier === null || !inVolts) return null;
  const atTaps = findingsAbout(context, 'noise', tapIds).flatMap(({ perSetting }) => {
    const here = perSetting.find((one) => one.setting === setting)?.underQuietToneVolts;
    return here === undefined || isNotMeasurable(here) ? [] : [here.value];
  });
  if (atTaps.length === 0) return null;
  const noise = noiseShares({
    radioVolts: Math.max(...atTaps),
    converterVolts: converter?.outputNoiseVolts ?? 0,
    amplifierVolts: amplifier.inputNoiseVolts,
    gainTapToSpeaker: gain * stage.gain,
    amplifierGain: stage.gain,
  });
  return { ...noise, belowFullOutputDb: 20 * Math.log10(stage.fullOutputVolts / noise.atSpeakerVolts) };
}
