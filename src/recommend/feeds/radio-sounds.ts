import type { TakeFacts } from '../../model/check.ts';
import { findingsOf } from '../../model/finding.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { idsOf, type PlanContext, roleOfTap } from '../plan-context.ts';
import type { Feed } from './feed.ts';

type RadioSounds = AdviceOf<'radio-sounds'>;
type Action = RadioSounds['action'];

/**
 * Which outputs carry chimes and prompts, cancelling or engine sound, and what the plan does about it: take another output of
 * the same band, or say that it becomes louder.
 *
 * @param takes what was seen in the recordings; announcements stand nowhere else
 */
export function radioSounds(
  context: PlanContext,
  feeds: readonly Feed[],
  takes: readonly TakeFacts[],
): RadioSounds[] {
  return [...announcements(context, feeds, takes), ...engineSound(context, feeds)];
}

function announcements(
  context: PlanContext,
  feeds: readonly Feed[],
  takes: readonly TakeFacts[],
): RadioSounds[] {
  const heard = new Set(
    takes.flatMap(({ channels }) =>
      channels.flatMap(({ tapId, announcements: found }) => ((found ?? []).length > 0 ? [tapId] : [])),
    ),
  );
  const tapIds = context.taps.map(({ tapId }) => tapId).filter((tapId) => heard.has(tapId));
  if (tapIds.length === 0) return [];
  const inUse = usedOf(feeds, tapIds);
  const instead = inUse.flatMap((tapId) => {
    const other = withoutThem(context, tapId, heard);
    return other === null ? [] : [{ tapId, byTapId: other }];
  });
  const replaced = new Set(instead.map(({ tapId }) => tapId));
  const louder = inUse.filter((tapId) => !replaced.has(tapId));
  const action: Action = inUse.length === 0 ? 'nothing' : louder.length === 0 ? 'feed from others' : 'louder';
  const reasons: Reason[] = [
    { code: 'announcements are heard on', tapIds },
    ...(inUse.length === 0 ? [] : [{ code: 'announcements on outputs in use' as const, tapIds: inUse }]),
    ...instead.map((one) => ({ code: 'feed from an output without them' as const, ...one })),
    ...(louder.length === 0 ? [] : [{ code: 'they become louder' as const, tapIds: louder }]),
  ];
  return [item({ sound: 'announcements', tapIds, inUse, action, instead, reasons, restsOn: [] })];
}

function engineSound(context: PlanContext, feeds: readonly Feed[]): RadioSounds[] {
  const found = findingsOf(context.findings, 'noise').filter(({ origins }) =>
    origins?.some(({ origin }) => origin === 'engine sound'),
  );
  const tapIds = [...new Set(found.flatMap((finding) => finding.tapIds))];
  if (tapIds.length === 0) return [];
  const reasons: Reason[] = [
    { code: 'engine sound on outputs', tapIds },
    { code: 'settle engine sound first' },
  ];
  return [
    item({
      sound: 'engine sound',
      tapIds,
      inUse: usedOf(feeds, tapIds),
      action: 'settle first',
      instead: [],
      reasons,
      restsOn: idsOf(found),
    }),
  ];
}

function item(of: Omit<RadioSounds, 'kind' | 'id' | 'order'>): RadioSounds {
  return {
    kind: 'radio-sounds',
    id: `radio-sounds-${of.sound === 'announcements' ? 'announcements' : 'engine'}`,
    ...of,
  };
}

function usedOf(feeds: readonly Feed[], tapIds: readonly string[]): string[] {
  const used = new Set(feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)));
  return tapIds.filter((tapId) => used.has(tapId));
}

/** An output of the same side that carries as much, and in which none was heard. */
function withoutThem(context: PlanContext, tapId: string, heard: ReadonlySet<string>): string | null {
  const role = roleOfTap(context, tapId);
  const other = context.taps.find(
    (one) =>
      one.side === role.side &&
      !one.unfit &&
      one.output !== 'centre' &&
      !heard.has(one.tapId) &&
      (one.output === role.output || one.band?.verdict === 'full range') &&
      one.band?.verdict === role.band?.verdict,
  );
  return other?.tapId ?? null;
}
