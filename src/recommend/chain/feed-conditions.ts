import { decibels, ratioOf } from '../../dsp/decibels.ts';
import { valueAt } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import { BASS_TONE_HZ } from '../../tones/track.ts';
import { limitersOn, type PlanContext } from '../plan-context.ts';
import { chainTaps, outputLevel } from './chain-taps.ts';
import type { FeedWithTone } from './knob-tone.ts';
import type { SolvedFeed } from './solved-feed.ts';
import { lawDifferenceDb } from './tap-level.ts';

/** Why the levels that were solved are not to be set after all; empty where they are. */
export function againstGains({
  amplifier,
  load,
  levels,
  direct,
  tapLevel,
  worstHz,
  inVolts,
  knob,
}: FeedWithTone): Reason[] {
  const lowestOhms = amplifier?.lowestOhms;
  return [
    ...(amplifier !== null && lowestOhms !== undefined && load.lowestOhms < lowestOhms
      ? [
          {
            code: 'load below the lowest' as const,
            amplifier: amplifier.name,
            loadOhms: load.lowestOhms,
            lowestOhms,
          },
        ]
      : []),
    ...(levels.padDb > 0.05 && inVolts
      ? [
          {
            code: 'too loud for the first stage' as const,
            stage: direct ? ('amplifier' as const) : ('converter' as const),
            volts: valueAt(tapLevel, worstHz),
            atMostVolts: valueAt(tapLevel, worstHz) * ratioOf(-levels.padDb),
            padDb: levels.padDb,
          },
        ]
      : []),
    ...(knob === null ? [{ code: 'limiter holds every tone' as const }] : []),
  ];
}

/** What the gains hold under: ratings that nobody noted, knobs that end, bass that a limiter holds. */
export function conditionsOf(context: PlanContext, solved: SolvedFeed): Reason[] {
  const { amplifier, load, levels, direct, inVolts } = solved;
  if (amplifier === null) return [...(inVolts ? [] : [VOLTS_NOT_KNOWN]), ...heldBass(context, solved)];
  const ratedVolts = Math.sqrt(amplifier.ratedWatts * amplifier.ratedOhms);
  const wantedVolts = Math.min(ratedVolts, load.ratedVolts);
  const conditions: (Reason | null)[] = [
    inVolts ? null : VOLTS_NOT_KNOWN,
    load.lowestOhms < amplifier.ratedOhms && amplifier.lowestOhms === undefined
      ? {
          code: 'lowest load not noted',
          amplifier: amplifier.name,
          loadOhms: load.lowestOhms,
          ratedOhms: amplifier.ratedOhms,
        }
      : null,
    load.load.ratedWatts === null ? { code: 'rating not noted', load: load.load.name } : null,
    amplifier.gainOverlapDb > 0 && levels.gainOverlapDb === 0
      ? {
          code: 'gain overlap left out',
          load: load.load.name,
          loadWatts: load.ratedVolts ** 2 / load.load.ohms,
          amplifierWatts: ratedVolts ** 2 / load.load.ohms,
        }
      : null,
    direct &&
    amplifier.speakerInputLimitVoltsRms !== null &&
    amplifier.speakerSensitivityRangeVoltsRms === undefined
      ? { code: 'sensitivity at speaker level not noted', amplifier: amplifier.name }
      : null,
    levels.bindingLimit === 'amplifier gain at its top'
      ? {
          code: 'amplifier not filled',
          amplifier: amplifier.name,
          shortDb: decibels(wantedVolts / levels.outputVolts!),
          outputVolts: levels.outputVolts!,
        }
      : null,
    ...lineAssumed(context, solved),
    ...heldBass(context, solved),
  ];
  return conditions.filter((condition) => condition !== null);
}

function lineAssumed(context: PlanContext, { tapIds, tapLevel, worstHz, inVolts }: SolvedFeed): Reason[] {
  const levels = tapIds.map((tapId) => outputLevel(context, tapId));
  const isGuess = levels.every(({ level }) => level === 'line') && levels.some(({ assumed }) => assumed);
  return isGuess && inVolts
    ? [{ code: 'line level taken from the volts', volts: valueAt(tapLevel, worstHz) }]
    : [];
}

const VOLTS_NOT_KNOWN: Reason = { code: 'volts not known' };

/** What a limiter leaves of the bass behind the amplifier, with the gains of the mid band. */
export function heldBass(context: PlanContext, solved: SolvedFeed): Reason[] {
  const { tapIds, setting, tapLevel, levels, load } = solved;
  if (limitersOn(context, tapIds).length === 0) return [];
  const held = chainTaps(context, { setting, usedIds: tapIds })
    .filter(({ tapId }) => tapIds.includes(tapId))
    .flatMap(({ limiter }) => (limiter?.heldVoltsRms == null ? [] : [limiter.heldVoltsRms]));
  if (held.length === 0)
    return [
      {
        code: 'bass held by the limiter',
        thresholdVolts: null,
        fromSetting: null,
        outputVolts: null,
        watts: null,
        fullWatts: null,
      },
    ];
  const thresholdVolts = Math.min(...held);
  const outputVolts =
    levels.amplifierGain === null ? null : thresholdVolts * levels.converterGain * levels.amplifierGain;
  return [
    {
      code: 'bass held by the limiter',
      thresholdVolts,
      fromSetting: settingReaching(context, {
        tapId: tapIds[0],
        setting,
        volts: valueAt(tapLevel, BASS_TONE_HZ),
        thresholdVolts,
      }),
      outputVolts,
      watts: outputVolts === null ? null : outputVolts ** 2 / load.load.ohms,
      fullWatts: levels.outputVolts === null ? null : levels.outputVolts ** 2 / load.load.ohms,
    },
  ];
}

/** Where full-scale bass reaches the threshold, by the volume law; null where it is not known. */
function settingReaching(
  context: PlanContext,
  {
    tapId,
    setting,
    volts,
    thresholdVolts,
  }: { tapId: string; setting: number; volts: number; thresholdVolts: number },
): number | null {
  const perStep = lawDifferenceDb(context, tapId, { from: setting - 1, to: setting });
  if (perStep === null || perStep <= 0) return null;
  return setting - decibels(volts / thresholdVolts) / perStep;
}
