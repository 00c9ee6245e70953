import type { Reason } from '../model/reason.ts';
import { USED_RATIO } from './chain/chain-verdict.ts';
import type { FeedWithTone } from './chain/knob-tone.ts';
import type { PlanContext } from './plan-context.ts';
import { type PlannedSound, plannedSound, type ToSound } from './planned-sound.ts';

interface FittingSound {
  readonly sound: PlannedSound;
  /** What gains are set at. */
  readonly setting: number | null;
  /** Why that is lower than was wanted; null where it is not. */
  readonly endedBy: Extract<Reason, { code: 'amplifier takes no more above' }> | null;
}

/** More than this has to be lost in front of an amplifier before anything is done about it. */
const PADDED_DB = 0.05;

/**
 * The sound at the setting that is wanted, or, where an output goes straight into an amplifier whose gain cannot be turned down
 * so far, at the highest setting that this amplifier takes: where a knob ends, the stage before it is turned down. Where that
 * would be a setting lower than people use, it stays at the wanted one, and a pad is asked for.
 */
export function fittingSound(context: PlanContext, wanted: ToSound): FittingSound {
  const sound = plannedSound(context, wanted);
  const [tooLoud] = sound.solved.filter(isTooLoud);
  const used = context.session.settings.filter(
    (setting) =>
      wanted.setting !== null &&
      setting < wanted.setting &&
      setting >= USED_RATIO * context.session.settings.at(-1)!,
  );
  if (tooLoud === undefined) return { sound, setting: wanted.setting, endedBy: null };
  for (const setting of used.toReversed()) {
    const lower = plannedSound(context, { ...wanted, setting });
    if (lower.solved.some(isTooLoud)) continue;
    const { amplifier } = tooLoud;
    const endedBy = {
      code: 'amplifier takes no more above' as const,
      setting,
      amplifier: amplifier!.name,
      atMostVolts: amplifier!.sensitivityRangeVoltsRms[1],
    };
    return { sound: lower, setting, endedBy };
  }
  return { sound, setting: wanted.setting, endedBy: null };
}

function isTooLoud({ direct, inVolts, amplifier, levels }: FeedWithTone): boolean {
  return direct && inVolts && amplifier !== null && levels.padDb > PADDED_DB;
}
