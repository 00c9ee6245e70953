import type { MeasuredSession } from '../measure/measure-session.ts';
import type { Check } from '../model/check.ts';
import type { Finding } from '../model/finding.ts';
import type { Session } from '../model/session.ts';
import { recordNext } from './record-next.ts';
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
  const settle = takes.flatMap(({ facts, remarks }) =>
    remarks
      .filter(({ weight }) => weight === 'settle')
      .map(({ text }) => (facts.setting === null ? text : `setting ${facts.setting}, ${text}`)),
  );
  const reasons = [
    ...missing.map(({ tapId, settings }) => `missing ${tapId} at ${settings.join(', ')}`),
    ...next
      .filter(({ needed, why }) => needed && why !== 'no usable take')
      .map(({ why, settings }) => (settings.length === 0 ? why : `${why}: record ${settings.join(', ')}`)),
    ...settle.slice(0, MOST_SETTLED),
  ];
  return {
    takes,
    files: measured.notes.map(({ file, text, leftOut }) => ({ file, text, left: leftOut })),
    missing,
    recordNext: next,
    mayCloseDash: reasons.length === 0 && settle.length === 0,
    reasons,
  };
}

/** Wrong labels show at every take alike; the first few say it. */
const MOST_SETTLED = 2;

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

function serves({ facts, remarks }: Check['takes'][number], tapId: string): boolean {
  return (
    facts.channels.some((channel) => channel.tapId === tapId) &&
    !remarks.some(
      ({ weight, tapIds }) => weight === 'record again' && (tapIds.length === 0 || tapIds.includes(tapId)),
    )
  );
}
