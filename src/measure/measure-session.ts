import type { Sound } from '../audio/sound.ts';
import type { Remark, TakeFacts } from '../model/check.ts';
import type { Doubt } from '../model/doubt.ts';
import { SteptoneError } from '../model/errors.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Reason } from '../model/reason.ts';
import type { Recording, Session } from '../model/session.ts';
import { type PrintedTake, withSameTakes } from './disturbances/same-takes.ts';
import { takeDoubts } from './doubts/take-doubts.ts';
import { measureRecording } from './measure-recording.ts';
import { mergeRepeats } from './merge-repeats.ts';
import { type RecordingReadings, readRecording } from './read-recording.ts';
import { measureRecorder, type RecorderKnowledge } from './recorder/measure-recorder.ts';
import { takeRemarks } from './remarks/take-remarks.ts';
import { linkTakes } from './sweeps/link-takes.ts';
import { strongerMedianDb } from './sweeps/median-level.ts';

export interface MeasuredSession {
  /** One for each tap and setting, in the order of the settings. */
  readonly measurements: readonly TapMeasurement[];
  /** Of every take that was found. */
  readonly facts: readonly TakeFacts[];
  /** What is to be said of each of them. */
  readonly remarks: readonly (readonly Remark[])[];
  readonly notes: readonly FileNote[];
  /** What keeps takes from saying what they seem to say. */
  readonly doubts: readonly Doubt[];
}

/** Something about a file that has to be told; `leftOut` where nothing of it is used. */
export interface FileNote {
  readonly file: string;
  readonly reason: Reason;
  readonly leftOut: boolean;
}

/** What was read before by several threads at once; the results do not depend on it. */
export interface ReadAhead {
  readonly recorder: RecorderKnowledge;
  /** As `readRecording` answers or throws; null for a file that was not read ahead. */
  readings(file: string): RecordingReadings | null;
}

/**
 * Measures all recordings of a session. One that cannot be used is left out and named in the notes.
 *
 * @param open opens a recording by the name that the session gives it
 * @throws SteptoneError 'no-recordings' where none can be used, or what is wrong with the only one
 */
export function measureSession(of: {
  session: Session;
  open: (file: string) => Sound;
  ahead?: ReadAhead | undefined;
  onProgress?: ((done: number, total: number, what: string) => void) | undefined;
}): MeasuredSession {
  const { session, open, ahead, onProgress } = of;
  const recorder = ahead?.recorder ?? measureRecorder({ session, open });
  const takes: (readonly TapMeasurement[])[] = [];
  const printed: PrintedTake[] = [];
  const notes: FileNote[] = [...uselessLoopTakes(session, recorder)];
  const failures: SteptoneError[] = [];
  const known = (tapId: string) =>
    takes.flat().flatMap((one) => {
      const levelDb = one.tapId === tapId ? strongerMedianDb(one) : null;
      return levelDb === null ? [] : [{ setting: one.setting, levelDb }];
    });
  const recordings = session.recordings.filter(({ kind }) => kind === 'takes');
  recordings.forEach((recording, i) => {
    const { file } = recording;
    onProgress?.(i, recordings.length, file);
    try {
      const readings =
        ahead?.readings(file) ?? readRecording({ recording, session, sound: open(file), recorder });
      const measured = measureRecording({ recording, session, readings, recorder, known });
      takes.push(...measured.takes);
      printed.push(...measured.facts.map((facts, t) => ({ facts, print: measured.prints[t] })));
      notes.push(...measured.notes.map((reason) => ({ file, reason, leftOut: false })));
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
      failures.push(error);
      notes.push({ file, reason: cannotBeUsed(error), leftOut: true });
    }
  });
  if (takes.length === 0) throw nothingUsable(recordings, failures);
  const measurements = session.settings.flatMap((setting) =>
    mergeRepeats(
      linkTakes(
        takes.filter((take) => take[0]?.setting === setting),
        session.referenceTapId,
      ),
    ),
  );
  const facts = withSameTakes(printed);
  const remarks = takeRemarks({ all: facts, session });
  return { measurements, facts, remarks, notes, doubts: takeDoubts({ session, facts, remarks }) };
}

function cannotBeUsed({ code, message }: SteptoneError): Reason {
  return { code: 'cannot be used', errorCode: code, message };
}

function uselessLoopTakes(session: Session, { response }: RecorderKnowledge): FileNote[] {
  if (response.size > 0) return [];
  return session.recordings
    .filter(({ kind }) => kind === 'loop')
    .map(({ file }) => ({
      file,
      reason: { code: 'no track in the loop take' },
      leftOut: true,
    }));
}

function nothingUsable(recordings: readonly Recording[], failures: readonly SteptoneError[]): SteptoneError {
  if (failures.length === 1) return failures[0];
  return new SteptoneError({
    code: 'no-recordings',
    expected: 'at least one recording of the test track',
    found:
      failures.length === 0
        ? 'none'
        : `${failures.length} that Steptone cannot use; the first: ${failures[0].message}`,
    where: recordings.map(({ file }) => file).join(', ') || 'the session',
    nextStep: 'record the test track at the factory outputs, and name the files in the session',
  });
}
