import type { TakeFacts } from '../../model/check.ts';
import type { Session } from '../../model/session.ts';

/** Settings that a tap was to be recorded at, by the session, and of which no take was read. */
export function unreadSettings(of: {
  session: Session;
  facts: readonly TakeFacts[];
}): { tapId: string; settings: number[] }[] {
  return settingsWithout(of.session, (tapId, setting) =>
    of.facts.some(
      (take) => take.setting === setting && take.channels.some((channel) => channel.tapId === tapId),
    ),
  );
}

/** Settings that a tap was to be recorded at, by the session, and has nothing at. */
export function settingsWithout(
  session: Session,
  has: (tapId: string, setting: number) => boolean,
): { tapId: string; settings: number[] }[] {
  const recordings = session.recordings.filter(({ kind }) => kind === 'takes');
  const planned = new Set(recordings.flatMap(({ settings }) => settings));
  const unplanned = session.settings.filter((setting) => !planned.has(setting));
  const fullest = recordings.reduce((most, one) => (one.settings.length > most.settings.length ? one : most));
  return session.taps.flatMap(({ id }) => {
    const own = recordings.filter(({ channels }) => channels.includes(id));
    if (own.length === 0) return [{ tapId: id, settings: [...session.settings] }];
    const wanted = new Set(own.flatMap(({ settings }) => settings));
    if (fullest.channels.includes(id)) for (const setting of unplanned) wanted.add(setting);
    const lacking = [...wanted].filter((setting) => !has(id, setting)).sort((a, b) => a - b);
    return lacking.length === 0 ? [] : [{ tapId: id, settings: lacking }];
  });
}
