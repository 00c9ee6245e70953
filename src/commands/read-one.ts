import { type RecordingReadings, readRecording } from '../measure/read-recording.ts';
import type { RecorderKnowledge } from '../measure/recorder/measure-recorder.ts';
import { type ErrorParts, SteptoneError } from '../model/errors.ts';
import type { Session } from '../model/session.ts';
import type { Fingerprint } from './fingerprint.ts';
import type { OpenRecordings } from './open-recordings.ts';

/** What one file gave: plain data, which can be sent between threads. */
export type FileAnswer = { readonly file: string; readonly fingerprint: Fingerprint | undefined } & (
  | { readonly readings: RecordingReadings }
  | { readonly unusable: ErrorParts }
  | { readonly fault: Error }
);

/** Reads one file of a session, whatever the others hold, in any thread. */
export function readOne(of: {
  file: string;
  session: Session;
  recordings: OpenRecordings;
  recorder: RecorderKnowledge;
  withFingerprint: boolean;
}): FileAnswer {
  const { file, recordings, withFingerprint } = of;
  const readings = readingsOf(of); // first: its bytes are hashed while it reads
  return { file, fingerprint: withFingerprint ? recordings.fingerprint(file) : undefined, ...readings };
}

/** What was read, or thrown again as it was where it was read. */
export function readingsIn(answer: FileAnswer | undefined): RecordingReadings | null {
  if (answer === undefined) return null;
  if ('readings' in answer) return answer.readings;
  throw 'unusable' in answer ? new SteptoneError(answer.unusable) : answer.fault;
}

/** The fingerprints among the answers, by file. */
export function printsIn(answers: ReadonlyMap<string, FileAnswer>): Map<string, Fingerprint> {
  return new Map(
    [...answers].flatMap(([file, { fingerprint }]) =>
      fingerprint === undefined ? [] : [[file, fingerprint]],
    ),
  );
}

function readingsOf({
  file,
  session,
  recordings,
  recorder,
}: {
  file: string;
  session: Session;
  recordings: OpenRecordings;
  recorder: RecorderKnowledge;
}): { readings: RecordingReadings } | { unusable: ErrorParts } | { fault: Error } {
  try {
    const recording = session.recordings.find((candidate) => candidate.file === file)!;
    return { readings: readRecording({ recording, session, sound: recordings.open(file), recorder }) };
  } catch (error) {
    if (error instanceof SteptoneError) return { unusable: error.parts };
    return { fault: error instanceof Error ? error : new Error(String(error)) };
  }
}
