import { decibels, ratioOf } from '../../dsp/decibels.ts';
import type { ChainFeed, ChainNode } from '../../model/chain.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';
import { radioNoiseVolts } from './radio-noise.ts';
import type { SolvedFeed } from './solved-feed.ts';

type GainStructure = AdviceOf<'gain-structure'>;

/** The chain of one feed as the report's picture has it: headroom and noise from the output to the speaker. */
export function gainStructure(
  context: PlanContext,
  solved: SolvedFeed,
  feed: ChainFeed,
): GainStructure | null {
  if (feed.noGains.length > 0) return null;
  const { tapIds, output, setting, worstHz, levels } = solved;
  const radioDb = feed.nodes.find(({ kind }) => kind === 'output')?.headroomDb ?? null;
  const nodes = feed.nodes.flatMap((node) => {
    const name = NAME_OF_NODE[node.kind];
    return name === undefined
      ? []
      : [
          {
            node: name,
            voltsRms: node.voltsRms,
            limitVoltsRms: node.limitVoltsRms,
            headroomDb: node.headroomDb,
          },
        ];
  });
  return {
    kind: 'gain-structure',
    id: `gain-structure-${output}`,
    restsOn: idsOf([
      ...findingsAbout(context, 'clipping', tapIds),
      ...findingsAbout(context, 'clean-settings', tapIds),
      ...findingsAbout(context, 'noise', tapIds),
      ...findingsAbout(context, 'rail', tapIds),
    ]),
    reasons: [{ code: 'least headroom clips first' }],
    output,
    setting,
    worstHz,
    nodes,
    clipsFirst: feed.clipsFirst === null ? 'not told' : CLIPPING_STAGE[feed.clipsFirst],
    spreadDb: spread(feed.nodes, levels.gainOverlapDb),
    radioFirstLineVoltsRms:
      radioDb === null || solved.direct ? undefined : levels.lineVolts * ratioOf(-Math.max(0, radioDb)),
    noise: noiseAtSpeaker(context, solved),
  };
}

const NAME_OF_NODE: Partial<Record<ChainNode['kind'], GainStructure['nodes'][number]['node']>> = {
  output: 'tap',
  'converter input': 'converter input',
  'amplifier input': 'converter input',
  'converter output': 'converter output',
  'amplifier output': 'amplifier output',
};

const CLIPPING_STAGE: Readonly<Record<ChainNode['kind'], GainStructure['clipsFirst']>> = {
  output: 'radio',
  sum: 'radio',
  pad: 'converter input',
  'converter input': 'converter input',
  restoration: 'converter output',
  'converter output': 'converter output',
  'amplifier input': 'converter input',
  'amplifier output': 'amplifier',
  load: 'amplifier',
};

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

/** The knobs' overlap is meant: it is taken out. */
function spread(nodes: readonly ChainNode[], gainOverlapDb: number): number | null {
  const stages = nodes.flatMap(({ kind, headroomDb }) =>
    headroomDb === null || (kind !== 'output' && kind !== 'converter output' && kind !== 'amplifier output')
      ? []
      : [kind === 'amplifier output' ? headroomDb + gainOverlapDb : headroomDb],
  );
  return stages.length < 2 ? null : Math.max(...stages) - Math.min(...stages);
}

/** Null without an amplifier, or where the radio's own noise was not measured in volts. */
function noiseAtSpeaker(
  context: PlanContext,
  { levels, amplifier, converter, setting, feeds, inVolts }: SolvedFeed,
): GainStructure['noise'] {
  if (levels.amplifierGain === null || levels.outputVolts === null || amplifier === null || !inVolts)
    return null;
  const each = feeds.map(({ taps }) => radioNoiseVolts(context, taps, setting));
  const known = each.filter((volts) => volts !== null);
  if (known.length === 0) return null;
  const noise = noiseShares({
    radioVolts: Math.max(...known),
    converterVolts: converter?.outputNoiseVolts ?? 0,
    amplifierVolts: amplifier.inputNoiseVolts,
    gainTapToSpeaker: levels.converterGain * levels.amplifierGain,
    amplifierGain: levels.amplifierGain,
  });
  const belowFullOutputDb = decibels(levels.outputVolts / noise.atSpeakerVolts);
  return Number.isFinite(belowFullOutputDb) ? { ...noise, belowFullOutputDb } : null;
}
