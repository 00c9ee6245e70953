import type { Sound } from '../audio/sound.ts';
import { SteptoneError } from '../model/errors.ts';
import type { Session } from '../model/session.ts';
import { type FileNote, type MeasuredSession, measureSession } from './measure-session.ts';
import type { RecorderKnowledge } from './recorder/measure-recorder.ts';

/** What another source gave, measured as the session's own is. */
export interface MeasuredSource {
  readonly source: string;
  /** That of the radio, with the takes of this source for its recordings. */
  readonly session: Session;
  readonly measured: MeasuredSession;
}

/**
 * Takes that were played from something else than the session's source, source by source. Files that cannot be used are left
 * out and noted.
 */
export function measureOtherSources(of: {
  session: Session;
  open: (file: string) => Sound;
  recorder?: RecorderKnowledge | undefined;
}): { sources: MeasuredSource[]; notes: FileNote[] } {
  const { session, open, recorder } = of;
  const sources: MeasuredSource[] = [];
  const notes: FileNote[] = [];
  for (const [source, own] of sessionsBySource(session)) {
    try {
      const ahead = recorder === undefined ? undefined : { recorder, readings: () => null };
      const measured = measureSession({ session: own, open, ahead });
      sources.push({ source, session: own, measured });
      notes.push(...measured.notes);
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
      const { code, message } = error;
      const reason = { code: 'cannot be used' as const, errorCode: code, message };
      const files = own.recordings.filter(({ kind }) => kind === 'takes');
      notes.push(...files.map(({ file }) => ({ file, reason, leftOut: true })));
    }
  }
  return { sources, notes };
}

function sessionsBySource(session: Session): Map<string, Session> {
  const others = session.recordings.filter(({ kind }) => kind === 'other source');
  const names = [...new Set(others.flatMap(({ source }) => source ?? []))];
  const aids = session.recordings.filter(({ kind }) => kind === 'loop' || kind === 'shorted');
  return new Map(
    names.map((source) => {
      const takes = others.filter((one) => one.source === source);
      const recordings = [...aids, ...takes.map((one) => ({ ...one, kind: 'takes' as const }))];
      const settings = [...new Set(takes.flatMap((one) => one.settings))].sort((a, b) => a - b);
      return [source, { ...session, source, recordings, settings }];
    }),
  );
}
