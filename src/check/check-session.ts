import { voltsWithheld } from '../findings/clipping/rail.ts';
import type { MeasuredSession } from '../measure/measure-session.ts';
import type { Check, Remark } from '../model/check.ts';
import type { Finding } from '../model/finding.ts';
import type { Session } from '../model/session.ts';
import { recordNext } from './record-next.ts';
import { sessionNotes } from './session-notes.ts';
import { soFar } from './so-far.ts';
import { takeRemarks } from './take-remarks.ts';

/**
 * Whether the recordings are usable and enough while the dash is still open: what is to be said of each take, what is
 * missing, what to record next, and whether the dash may be closed.
 */
export function checkSession(of: {
  session: Session;
  measured: MeasuredSession;
  findings: readonly Finding[];
}): Check {
  const { session, measured, findings } = of;
  const takes = measured.facts.map((facts) => ({
    facts,
    remarks: takeRemarks({ take: facts, all: measured.facts, session }),
  }));
  const missing = missingSettings({ session, takes });
  const next = recordNext({ session, measurements: measured.measurements, findings, missing });
  const settle = settledReasons(takes);
  const slip = voltsWithheld(findings);
  const reasons = [
    ...missing.map(({ tapId, settings }) => `missing ${tapId} at ${settings.join(', ')}`),
    ...next
      .filter(({ needed, why }) => needed && why !== 'no usable take')
      .map(
        ({ tapIds, why, settings }) =>
          `${tapIds.join(', ')}: ${why}${settings.length === 0 ? '' : `: record ${settings.join(', ')}`}`,
      ),
    ...settle.slice(0, MOST_SETTLED),
    ...(slip === null ? [] : [`volts are withheld until this is settled in the notes: ${slip}`]),
  ];
  return {
    soFar: soFar({ session, measurements: measured.measurements, findings }),
    takes,
    files: measured.notes.map(({ file, text, leftOut }) => ({ file, text, left: leftOut })),
    missing,
    recordNext: next,
    notes: sessionNotes({ session, measurements: measured.measurements, findings }),
    mayCloseDash: reasons.length === 0 && settle.length === 0,
    reasons: reasons.map(withoutStop),
  };
}

/** They are parts of one sentence. */
function withoutStop(reason: string): string {
  return reason.replace(/[.]$/, '');
}

/** Wrong labels show at every take alike; they are said once, and the first few say enough. */
const MOST_SETTLED = 2;

function settledReasons(takes: Check['takes']): string[] {
  const settings = new Map<string, (number | null)[]>();
  for (const { facts, remarks } of takes)
    for (const { weight, text } of remarks)
      if (weight === 'settle') settings.set(text, [...(settings.get(text) ?? []), facts.setting]);
  return Array.from(settings, ([text, at]) => {
    const known = [...new Set(at.filter((setting) => setting !== null))];
    if (known.length === 0) return text;
    return `${known.length === 1 ? 'setting' : 'settings'} ${known.join(', ')}: ${text}`;
  });
}

/** Settings that a tap was to be recorded at, by the session, and has no usable take of. */
function missingSettings({ session, takes }: { session: Session; takes: Check['takes'] }): Check['missing'] {
  const recordings = session.recordings.filter(({ kind }) => kind === 'takes');
  const planned = new Set(recordings.flatMap(({ settings }) => settings));
  const unplanned = session.settings.filter((setting) => !planned.has(setting));
  const fullest = recordings.reduce((most, one) => (one.settings.length > most.settings.length ? one : most));
  return session.taps.flatMap(({ id }) => {
    const own = recordings.filter(({ channels }) => channels.includes(id));
    if (own.length === 0) return [{ tapId: id, settings: [...session.settings] }];
    const wanted = new Set(own.flatMap(({ settings }) => settings));
    if (fullest.channels.includes(id)) for (const setting of unplanned) wanted.add(setting);
    const lacking = [...wanted]
      .filter((setting) => !takes.some((take) => take.facts.setting === setting && serves(take, id)))
      .sort((a, b) => a - b);
    return lacking.length === 0 ? [] : [{ tapId: id, settings: lacking }];
  });
}

/** A radio’s volume, its supply and a recorder’s gain move all channels, also where one alone shows it. */
const MOVES_ALL_CHANNELS: readonly Remark['code'][] = ['gain-changed', 'automatic-gain'];

function serves({ facts, remarks }: Check['takes'][number], tapId: string): boolean {
  return (
    facts.channels.some((channel) => channel.tapId === tapId) &&
    !remarks.some(
      ({ weight, code, tapIds }) =>
        weight === 'record again' &&
        (tapIds.length === 0 || tapIds.includes(tapId) || MOVES_ALL_CHANNELS.includes(code)),
    )
  );
}
