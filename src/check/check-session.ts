import { voltsWithheld } from '../findings/clipping/rail.ts';
import { tapsTouched } from '../measure/doubts/take-doubts.ts';
import { settingsWithout } from '../measure/doubts/unread-settings.ts';
import type { MeasuredSession } from '../measure/measure-session.ts';
import type { MeasuredSource } from '../measure/other-sources.ts';
import type { Check, Statement } from '../model/check.ts';
import type { Doubt } from '../model/doubt.ts';
import type { Finding } from '../model/finding.ts';
import { codeOf, isSameReason } from '../model/reason.ts';
import type { Session } from '../model/session.ts';
import { balanceToSettle, sessionNotes } from './session-notes.ts';
import { soFar } from './so-far.ts';
import { takesToRecord } from './takes-to-record.ts';

/**
 * Whether the recordings are usable and enough while the dash is still open: what is to be said of each take, what is
 * missing, what to record next, and whether the dash may be closed.
 */
export function checkSession(of: {
  session: Session;
  measured: MeasuredSession;
  findings: readonly Finding[];
  /** Settings that do not go with the others of their tap, which no take shows by itself. */
  odd?: readonly Doubt[];
  /** Takes from other sources, which nothing else rests on. */
  others?: readonly MeasuredSource[];
}): Check {
  const { session, measured, findings, odd = [], others = [] } = of;
  const takes = checkedTakes(measured);
  const missing = settingsWithout(session, (tapId, setting) =>
    takes.some((take) => take.facts.setting === setting && serves(take, { tapId, takes })),
  );
  const next = takesToRecord({
    session,
    measurements: measured.measurements,
    findings,
    missing,
    unread: unreadFiles(measured),
  });
  const settle = [...toSettle(takes), ...odd.map(statementOf)];
  const slip = voltsWithheld(findings);
  const reasons: Statement[] = [
    ...next
      .filter(({ needed }) => needed)
      .map(({ tapIds, settings, why, because }) => ({ tapIds, settings, reason: why, because })),
    ...settle.slice(0, MOST_SETTLED),
    ...balanceToSettle({ session, findings }),
    ...(slip === null
      ? []
      : [
          {
            tapIds: [],
            settings: [],
            reason: { code: 'volts withheld until settled' as const },
            because: slip,
          },
        ]),
  ];
  return {
    soFar: soFar({
      session,
      measurements: measured.measurements,
      findings,
      doubts: measured.doubts,
    }),
    takes: [...takes, ...others.flatMap((other) => checkedTakes(other.measured))],
    files: measured.notes.map(({ file, reason, leftOut }) => ({ file, reason, left: leftOut })),
    missing,
    recordNext: next,
    notes: sessionNotes({ session, measurements: measured.measurements, findings }),
    mayCloseDash: reasons.length === 0 && settle.length === 0,
    reasons,
  };
}

function checkedTakes({ facts, remarks }: MeasuredSession): CheckedTake[] {
  return facts.map((one, t) => ({ facts: one, remarks: [...remarks[t]] }));
}

/** Wrong labels show at every take alike; they are said once, and the first few say enough. */
const MOST_SETTLED = 2;

function statementOf({ tapIds, settings, reason }: Doubt): Statement {
  return { tapIds, settings: settings ?? [], reason };
}

function toSettle(takes: Check['takes']): Statement[] {
  const all: Statement[] = [];
  for (const { facts, remarks } of takes)
    for (const { weight, tapIds, reason } of remarks) {
      if (weight !== 'settle') continue;
      const same = all.find((one) => isSameReason(one.reason, reason));
      const settings = facts.setting === null ? [] : [facts.setting];
      if (same === undefined) all.push({ tapIds, settings, reason });
      else {
        same.tapIds = [...new Set([...same.tapIds, ...tapIds])];
        same.settings = [...new Set([...same.settings, ...settings])];
      }
    }
  return all;
}

/** Files of the session of which nothing was read, so that what they were to say is not known. */
function unreadFiles({ notes, facts }: MeasuredSession): string[] {
  return notes
    .filter(({ file, leftOut }) => leftOut && !facts.some((take) => take.file === file))
    .map(({ file }) => file);
}

type CheckedTake = Check['takes'][number];

function serves(take: CheckedTake, { tapId, takes }: { tapId: string; takes: Check['takes'] }): boolean {
  const { facts, remarks } = take;
  return (
    facts.channels.some((channel) => channel.tapId === tapId) &&
    !remarks.some(
      (remark) =>
        remark.weight === 'record again' &&
        tapsTouched(remark, facts).includes(tapId) &&
        !isSoAgain(take, { code: codeOf(remark.reason), tapId, takes }),
    )
  );
}

/** Recorded again and still so: it is how this car or this recorder is, and a third take would say no more. */
function isSoAgain(
  take: CheckedTake,
  { code, tapId, takes }: { code: ReturnType<typeof codeOf>; tapId: string; takes: Check['takes'] },
): boolean {
  return takes.some(
    (other) =>
      other !== take &&
      other.facts.setting === take.facts.setting &&
      other.remarks.some(
        (remark) => codeOf(remark.reason) === code && tapsTouched(remark, other.facts).includes(tapId),
      ),
  );
}
