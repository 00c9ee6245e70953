import { ratioOf } from '../../dsp/decibels.ts';
import { ONSET_THD } from '../../findings/clipping/clip-between-steps.ts';
import type { NotedWire } from '../../model/bay-notes.ts';
import type { ChainTap } from '../../model/chain.ts';
import { findingsOf } from '../../model/finding.ts';
import { gridFrequencyHz, gridSpan } from '../../model/frequency-grid.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { supplySystem } from '../install/supply-system.ts';
import { findingsAbout, limitersOn, type PlanContext, type TapRole } from '../plan-context.ts';
import { tapVolts } from './highest-clean-setting.ts';
import { feedLevel } from './tap-level.ts';

/** The factory outputs as the chain meets them. */
export function chainTaps(
  context: PlanContext,
  { setting, usedIds }: { readonly setting: number | null; readonly usedIds: readonly string[] },
): ChainTap[] {
  const known = tapsOf.get(context) ?? new Map<number | null, ChainTap[]>();
  tapsOf.set(context, known);
  const taps = known.get(setting) ?? tapsAt(context, setting);
  known.set(setting, taps);
  return taps.map((tap) => ({ ...tap, inUse: usedIds.includes(tap.tapId) }));
}

/** Asked for by every feed, knob and sheet of a plan; a context does not change. */
const tapsOf = new WeakMap<PlanContext, Map<number | null, ChainTap[]>>();

function tapsAt(context: PlanContext, setting: number | null): ChainTap[] {
  return context.taps.map((role): ChainTap => {
    const tap = context.session.taps.find(({ id }) => id === role.tapId)!;
    const { level, assumed } = outputLevel(context, role.tapId);
    return {
      tapId: role.tapId,
      side: role.side,
      position: tap.position,
      inUse: false,
      level,
      levelAssumed: assumed,
      plus: wireText(tap.plus),
      minus: wireText(tap.minus),
      connector: tap.connector ?? null,
      bandHz: [edgeHz(role, 'lowEdge'), edgeHz(role, 'highEdge')],
      voltsRms: tapVolts(context, {
        tapId: role.tapId,
        setting,
        frequencyHz: strongestHz(context, role.tapId, setting),
      }),
      mostVoltsPeak: mostVoltsPeak(context, role.tapId, level),
      loudestVoltsRms: loudestVolts(context, role.tapId),
      limiter: limiterOf(context, role.tapId, setting),
      noiseVoltsRms: noiseVolts(context, role.tapId, setting),
    };
  });
}

/** A line output gives no more than this (common practice: 1 to 5 V, a little over for headroom), peak. */
const MOST_LINE_VOLTS_PEAK = 7;

/** As noted; else told from nothing being connected and few volts at the loudest, and marked as assumed. */
export function outputLevel(context: PlanContext, tapId: string): OutputLevel {
  const known = levelsOf.get(context) ?? new Map<string, OutputLevel>();
  levelsOf.set(context, known);
  const level = known.get(tapId) ?? notedOrLikelyLevel(context, tapId);
  known.set(tapId, level);
  return level;
}

type OutputLevel = { readonly level: 'speaker' | 'line'; readonly assumed: boolean };
/** Asked for with every feed and rail; a context does not change. */
const levelsOf = new WeakMap<PlanContext, Map<string, OutputLevel>>();

function notedOrLikelyLevel(context: PlanContext, tapId: string): OutputLevel {
  const tap = context.session.taps.find(({ id }) => id === tapId)!;
  if (tap.level !== undefined) return { level: tap.level, assumed: false };
  if (tap.load !== 'nothing') return { level: 'speaker', assumed: true };
  const most = loudestMidVolts(context, tapId);
  const isWeak = most > 0 && most * Math.SQRT2 <= MOST_LINE_VOLTS_PEAK;
  return { level: isWeak ? 'line' : 'speaker', assumed: true };
}

function loudestMidVolts(context: PlanContext, tapId: string): number {
  const each = context.session.settings.map((setting) => {
    const answer = tapVolts(context, { tapId, setting, frequencyHz: null });
    return isNotMeasurable(answer) ? 0 : answer.value;
  });
  return Math.max(0, ...each);
}

/** At the loudest setting that was recorded: what a full-scale tone would give, or no more than where the output clips. */
function loudestVolts(context: PlanContext, tapId: string): number | null {
  const setting = context.session.settings.at(-1) ?? null;
  const answer = tapVolts(context, { tapId, setting, frequencyHz: strongestHz(context, tapId, setting) });
  if (isNotMeasurable(answer)) return null;
  const clipped = clippedVolts(context, tapId, setting);
  return clipped === null ? answer.value : Math.min(answer.value, clipped * supplyRise(context));
}

/** The most that a tone gave which clips there, harmonics and all; null where none was seen to clip. */
function clippedVolts({ measurements }: PlanContext, tapId: string, setting: number | null): number | null {
  const volts = measurements
    .filter((one) => one.tapId === tapId && one.setting === setting)
    .flatMap(({ ladders, voltsPerFullScale }) =>
      voltsPerFullScale === null
        ? []
        : ladders
            .flatMap(({ steps }) => steps.slice(-1))
            .filter(({ thd }) => thd > ONSET_THD)
            .map(({ levelDbFs, thd }) => voltsPerFullScale.volts * ratioOf(levelDbFs) * Math.hypot(1, thd)),
    );
  return volts.length === 0 ? null : Math.max(...volts);
}

/** What is heard (common practice). */
const HEARD_HZ = [20, 20_000] as const;

/** Where a full-scale tone gives most volts at this output. */
export function strongestHz(context: PlanContext, tapId: string, setting: number | null): number {
  const tap = { tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 } as const;
  const level = setting === null ? null : feedLevel(context, [tap], setting);
  if (level === null) return 1000;
  const { first, last } = gridSpan(HEARD_HZ);
  let at = first;
  for (let i = first; i <= last; i++) if (level.level[i] > level.level[at]) at = i;
  return gridFrequencyHz[at];
}

/** The rail follows the supply: what it gives at the highest supply, however hard it is driven. */
function mostVoltsPeak(context: PlanContext, tapId: string, level: ChainTap['level']): number | null {
  const { findings, voltsWithheld } = context;
  const alike = findingsOf(findings, 'rail').find(({ tapIds }) =>
    tapIds.some(
      (other) =>
        context.session.taps.some(({ id }) => id === other) && outputLevel(context, other).level === level,
    ),
  );
  const rail = findingsAbout(context, 'rail', [tapId])[0] ?? alike;
  if (rail === undefined || voltsWithheld !== null) return null;
  return rail.clipVoltsPeak.value * supplyRise(context);
}

/** From the supply at which it was recorded to the highest that it reaches. */
function supplyRise({ session }: PlanContext): number {
  const supply = session.supply.volts;
  return supply === null || supply === 0 ? 1 : Math.max(1, supplySystem(supply).highestVolts / supply);
}

function limiterOf(context: PlanContext, tapId: string, setting: number | null): ChainTap['limiter'] {
  const rows = limitersOn(context, [tapId]).flatMap(({ perSetting }) => perSetting);
  const told = rows.flatMap(({ setting: at, thresholdDriveDbFs: drive, levelVoltsRms: held }) =>
    isNotMeasurable(drive)
      ? []
      : [
          {
            thresholdDriveDbFs: drive.value,
            heldVoltsRms: isNotMeasurable(held) ? null : held.value,
            setting: at,
          },
        ],
  );
  if (told.length === 0) return null;
  const wanted = setting ?? Number.POSITIVE_INFINITY;
  return told.find((row) => row.setting >= wanted) ?? told.at(-1)!;
}

const LOUDEST_SETTING = Number.MAX_SAFE_INTEGER;

/** Under the quiet tone at this setting, or at the nearest one that tells, the louder of two; null where none does. */
export function noiseVolts(context: PlanContext, tapId: string, setting: number | null): number | null {
  const rows = findingsAbout(context, 'noise', [tapId]).flatMap(({ perSetting }) =>
    perSetting.flatMap(({ setting: at, underQuietToneVolts: answer }) =>
      isNotMeasurable(answer) ? [] : [{ setting: at, volts: answer.value }],
    ),
  );
  const wanted = setting ?? Number.POSITIVE_INFINITY;
  const awayBy = (row: { setting: number }) => Math.abs(row.setting - Math.min(wanted, LOUDEST_SETTING));
  const nearest = rows.reduce<(typeof rows)[number] | null>(
    (best, row) => (best === null || awayBy(row) <= awayBy(best) ? row : best),
    null,
  );
  return nearest?.volts ?? null;
}

function edgeHz({ band }: TapRole, side: 'lowEdge' | 'highEdge'): number | null {
  const edge = band?.[side]?.minus3Hz;
  return edge === undefined || isNotMeasurable(edge) ? null : edge.value;
}

function wireText(wire: NotedWire | undefined): string | null {
  if (wire === undefined) return null;
  const text = [wire.colour, wire.pin === undefined ? undefined : `pin ${wire.pin}`].filter(
    (part) => part !== undefined,
  );
  return text.length === 0 ? null : text.join(', ');
}
