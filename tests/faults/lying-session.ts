import { type CheckedSession, checkedSession } from '../../src/check/checked-session.ts';
import { type MeasuredSession, measureSession } from '../../src/measure/measure-session.ts';
import { type RecordingReadings, readRecording } from '../../src/measure/read-recording.ts';
import { measureRecorder } from '../../src/measure/recorder/measure-recorder.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { SessionInput } from '../../src/model/session-input.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { keptRecordings } from '../kept-recordings.ts';
import { memorySound } from '../memory-sound.ts';
import type { Spoilable } from './spoilt.ts';

/** What is made untrue of a good session: recordings changed, other ones in their place, or the notes. */
export interface Lie {
  /** Changes to a copy of the recording at a setting. */
  readonly spoil?: Readonly<Record<number, (recording: Spoilable) => void>>;
  /** The recording of another setting in the place of a setting's own. */
  readonly exchange?: Readonly<Record<number, number>>;
  readonly session?: (input: SessionInput) => SessionInput;
}

export interface LyingSession {
  readonly settings: readonly number[];
  /** The takes alone, for what is said of them. */
  told(lie: Lie): MeasuredSession;
  /** With what is found and whether the dash may be closed. */
  checked(lie: Lie): CheckedSession;
}

/** Recordings made and read once; a lie reads only the files anew that it changes. */
export function lyingSession(changes: Parameters<typeof exampleScenario>[1]): LyingSession {
  const scenario = exampleScenario('shelf loss', changes);
  const { made, ...simulation } = keptRecordings(scenario);
  const recordings = new Map(made.map((one) => [one.file, one] as const));
  const good = new Map<string, RecordingReadings>();

  const prepared = (lie: Lie) => {
    const files = scenario.settings.map((setting) => {
      const [file, source] = [setting, lie.exchange?.[setting] ?? setting].map((at) => `setting-${at}.wav`);
      const { sampleRateHz, channels } = recordings.get(source)!;
      const copy: Spoilable = { file, sampleRateHz, channels: [...channels] };
      const spoil = lie.spoil?.[setting];
      if (spoil !== undefined) {
        copy.channels = channels.map((channel) => channel.slice());
        spoil(copy);
      }
      return {
        file,
        isChanged: spoil !== undefined || source !== file || lie.session !== undefined,
        sound: memorySound({ name: file, sampleRateHz: copy.sampleRateHz, channels: copy.channels }),
      };
    });
    const input = lie.session?.(simulation.session) ?? simulation.session;
    const session = resolveSession(input, { folderFiles: files.map(({ file }) => file) });
    const open = (file: string) => files.find((one) => one.file === file)!.sound;
    const recorder = measureRecorder({ session, open });
    const readings = (file: string): RecordingReadings => {
      const recording = session.recordings.find((one) => one.file === file)!;
      const read = () => readRecording({ recording, session, sound: open(file), recorder });
      if (files.find((one) => one.file === file)!.isChanged) return read();
      const known = good.get(file) ?? read();
      good.set(file, known);
      return known;
    };
    return { session, open, ahead: { recorder, readings } };
  };
  return {
    settings: scenario.settings,
    told: (lie) => measureSession(prepared(lie)),
    checked: (lie) => checkedSession(prepared(lie)),
  };
}
