import type { Sound } from './audio/sound.ts';
import { findAll } from './findings/find-all.ts';
import { linkTakes } from './measure/link-takes.ts';
import { measureRecorder } from './measure/measure-recorder.ts';
import { measureRecording } from './measure/measure-recording.ts';
import { mergeRepeats } from './measure/merge-repeats.ts';
import { SteptoneError } from './model/errors.ts';
import { gridFrequencyHz } from './model/frequency-grid.ts';
import type { TapMeasurement } from './model/measurement.ts';
import { toRecord } from './model/measurement-record.ts';
import { RESULTS_VERSION, type Results } from './model/results.ts';
import type { Recording, Session } from './model/session.ts';
import { recommend } from './recommend/recommend.ts';

export interface AnalyseInput {
  readonly session: Session;
  /** Opens a recording by the name that the session gives it. */
  readonly open: (file: string) => Sound;
  readonly toolVersion: string;
  readonly inputs: Results['inputs'];
  readonly onProgress?: (done: number, total: number, what: string) => void;
}

/**
 * The whole job: recordings in, results out. A recording that cannot be used is left out and named in the notes.
 *
 * @throws SteptoneError 'no-recordings' where none can be used, or what is wrong with the only one
 */
export function analyse({ session, open, toolVersion, inputs, onProgress }: AnalyseInput): Results {
  const notes: Results['notes'] = session.notes.map((text) => ({ file: null, text }));
  const recorder = measureRecorder({ session, open });

  const takes: TapMeasurement[][] = [];
  const recordings = session.recordings.filter(({ kind }) => kind === 'takes');
  const failures: SteptoneError[] = [];
  recordings.forEach((recording, i) => {
    onProgress?.(i, recordings.length, recording.file);
    try {
      const measured = measureRecording({ recording, session, sound: open(recording.file), recorder });
      takes.push(...measured.takes);
      notes.push(...measured.notes.map((text) => ({ file: recording.file, text })));
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
      failures.push(error);
      notes.push({ file: recording.file, text: `left out: ${error.message}` });
    }
  });
  onProgress?.(recordings.length, recordings.length, 'findings');
  if (takes.length === 0) throw nothingUsable(recordings, failures);

  const measurements = session.settings.flatMap((setting) =>
    mergeRepeats(
      linkTakes(
        takes.filter((take) => take[0]?.setting === setting),
        session.referenceTapId,
      ),
    ),
  );
  const findings = findAll({ session, measurements });
  const recommendations = recommend({ session, measurements, findings, equipment: session.equipment });
  return {
    format: 'steptone results',
    version: RESULTS_VERSION,
    toolVersion,
    session,
    frequencyHz: Array.from(gridFrequencyHz, (hz) => Number(hz.toPrecision(6))),
    measurements: measurements.map(toRecord),
    findings,
    recommendations,
    notes,
    inputs,
  };
}

function nothingUsable(recordings: readonly Recording[], failures: readonly SteptoneError[]): SteptoneError {
  if (failures.length === 1) return failures[0];
  return new SteptoneError({
    code: 'no-recordings',
    expected: 'at least one recording of the test track',
    found:
      failures.length === 0
        ? 'none'
        : `${failures.length} that cannot be used; the first: ${failures[0].message}`,
    where: recordings.map(({ file }) => file).join(', ') || 'the session',
    nextStep: 'record the test track at the factory outputs and name the files in the session',
  });
}
