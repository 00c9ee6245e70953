import { decibels, ratioOf } from '../../dsp/decibels.ts';
import type { Output } from '../../model/equipment.ts';
import { valueAt } from '../../model/frequency-grid.ts';
import {
  METER_DRIVES_DB_FS,
  METER_TONES_HZ,
  TREBLE_DRIVE_DB_FS,
  TREBLE_TONES_HZ,
} from '../../tones/meter-tone.ts';
import { passedBy } from '../filters/filter-loss.ts';
import { limitersOn, type PlanContext } from '../plan-context.ts';
import { chainTaps } from './chain-taps.ts';
import { AT_LIMIT_RATIO, driveForOverlap, LIMITED_BELOW_HZ } from './meter-targets.ts';
import type { SolvedFeed } from './solved-feed.ts';
import { feedLevel } from './tap-level.ts';

/** What a knob is set by: the tone, and the radio's setting while it plays. */
export interface KnobTone {
  readonly toneHz: number;
  readonly driveDbFs: number;
  /** Lower than the gains' own where a limiter would hold the tone there. */
  readonly setting: number;
  /** At the output at `setting`, restoration off, on the grid. */
  readonly tapLevel: Float64Array;
  /** Drive from which the limiter holds bass at `setting`; null where there is none. */
  readonly limiterDriveDbFs: number | null;
}

/** A solved feed with the tone that its knobs are set by; null where a limiter holds every tone of the stick inside its band. */
export interface FeedWithTone extends SolvedFeed {
  readonly knob: KnobTone | null;
}

export function withTone(context: PlanContext, solved: SolvedFeed): FeedWithTone {
  return { ...solved, knob: knobTone(context, solved) };
}

/** Low tones first: many meters fall off above 400 Hz (common practice). Those of tweeters where nothing lower gets through. */
const MAINS_TONES_HZ = [100, 997, ...TREBLE_TONES_HZ] as const;
const TONES_OF_OUTPUT: Readonly<Record<Output, readonly number[]>> = {
  subwoofer: [55, 100],
  front: MAINS_TONES_HZ,
  rear: MAINS_TONES_HZ,
  centre: MAINS_TONES_HZ,
};
/** A tone this far under the strongest is not inside what the feed carries. */
const INSIDE_DB = 6;
/** A limiter's threshold is kept clear of by this much: more than it is uncertain by (tests/accuracy: 0.2 dB). */
const CLEAR_OF_LIMITER_DB = 1;

/**
 * A tone inside the band that the feed carries, below any limiter's threshold. Null where the limiter holds every tone of the
 * stick that lies inside the band.
 */
export function knobTone(context: PlanContext, solved: SolvedFeed): KnobTone | null {
  const { output, setting, tapLevel } = solved;
  const toneHz = insideBand(solved, TONES_OF_OUTPUT[output]);
  const usual = {
    toneHz,
    driveDbFs: safeDrive(solved, toneHz),
    setting,
    tapLevel,
    limiterDriveDbFs: limiterDrive(context, solved, { setting, tapLevel, toneHz }),
  };
  const isFree = usual.limiterDriveDbFs === null || toneHz > LIMITED_BELOW_HZ;
  if (isFree) return usual;
  const above = TONES_OF_OUTPUT[output].find((hz) => hz > LIMITED_BELOW_HZ);
  return clearOfLimiter(context, solved, usual) ?? (above === undefined ? null : { ...usual, toneHz: above });
}

/** Behind the filters: what they take away is not inside the band, and would be too loud while they are out. */
function insideBand({ tapLevel, equalizerDb, filters }: SolvedFeed, tones: readonly number[]): number {
  const level = (hz: number) =>
    decibels(filters.reduce((volts, filter) => volts * passedBy(filter, hz), valueAt(tapLevel, hz))) +
    valueAt(equalizerDb, hz);
  const strongest = Math.max(...[...METER_TONES_HZ, ...TREBLE_TONES_HZ].map(level));
  return tones.find((hz) => level(hz) >= strongest - INSIDE_DB) ?? loudestOf(tones, level);
}

/** The drive of the gain overlap, or a lower one where the tone, filters out, would take a stage past its limit. */
function safeDrive(
  { tapLevel, equalizerDb, levels, lineLimitVolts, direct }: SolvedFeed,
  toneHz: number,
): number {
  const line = valueAt(tapLevel, toneHz) * levels.converterGain * ratioOf(valueAt(equalizerDb, toneHz));
  const overLine = direct ? 0 : line / lineLimitVolts;
  const overOutput = levels.amplifierGain === null ? 0 : (line * levels.amplifierGain) / levels.outputVolts!;
  if (isTreble(toneHz)) return TREBLE_DRIVE_DB_FS;
  const usual = driveForOverlap(levels.gainOverlapDb);
  const over = Math.max(overLine, overOutput) / AT_LIMIT_RATIO;
  return (
    METER_DRIVES_DB_FS.find((drive) => drive <= usual && over * ratioOf(drive) <= 1) ??
    Math.min(...METER_DRIVES_DB_FS)
  );
}

function isTreble(toneHz: number): boolean {
  return TREBLE_TONES_HZ.some((hz) => hz === toneHz);
}

function loudestOf(tones: readonly number[], level: (hz: number) => number): number {
  return tones.reduce((loudest, hz) => (level(hz) > level(loudest) ? hz : loudest));
}

/** The loudest recorded setting and drive at which the limiter leaves the tone alone; null where none does. */
function clearOfLimiter(context: PlanContext, solved: SolvedFeed, usual: KnobTone): KnobTone | null {
  const settings = context.session.settings.filter((setting) => setting <= solved.setting).reverse();
  const drives = METER_DRIVES_DB_FS.filter((drive) => drive <= usual.driveDbFs);
  for (const setting of settings) {
    const levels = solved.feeds.flatMap(({ taps }) => feedLevel(context, taps, setting) ?? []);
    if (levels.length === 0) continue;
    const tapLevel = levels[0].level.map((_, i) => Math.max(...levels.map(({ level }) => level[i])));
    const limiterDriveDbFs = limiterDrive(context, solved, { setting, tapLevel, toneHz: usual.toneHz });
    const most = (limiterDriveDbFs ?? Number.POSITIVE_INFINITY) - CLEAR_OF_LIMITER_DB;
    const driveDbFs = drives.find((drive) => drive <= most);
    if (driveDbFs !== undefined) return { ...usual, setting, driveDbFs, tapLevel, limiterDriveDbFs };
  }
  return null;
}

/** By the volts that the limiter holds, else by the drives that were found at this setting or the next louder one. */
function limiterDrive(
  context: PlanContext,
  solved: SolvedFeed,
  {
    setting,
    tapLevel,
    toneHz,
  }: { readonly setting: number; readonly tapLevel: Float64Array; readonly toneHz: number },
): number | null {
  const held = heldVolts(context, solved);
  if (held !== null) return decibels(held / valueAt(tapLevel, toneHz));
  const drives = limitersOn(context, solved.tapIds).flatMap(({ perSetting }) => {
    const here = perSetting.find((one) => one.setting >= setting && 'value' in one.thresholdDriveDbFs);
    return here !== undefined && 'value' in here.thresholdDriveDbFs ? [here.thresholdDriveDbFs.value] : [];
  });
  return drives.length === 0 ? null : Math.min(...drives);
}

/** At which volts the limiter holds the bass; null where there is none, or its volts are not known. */
function heldVolts(context: PlanContext, { tapIds, setting, inVolts }: SolvedFeed): number | null {
  if (!inVolts || limitersOn(context, tapIds).length === 0) return null;
  const held = chainTaps(context, { setting, usedIds: tapIds }).flatMap(({ tapId, limiter }) =>
    tapIds.includes(tapId) && limiter?.heldVoltsRms != null ? [limiter.heldVoltsRms] : [],
  );
  return held.length === 0 ? null : Math.min(...held);
}
