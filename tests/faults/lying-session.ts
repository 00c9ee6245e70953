import { type CheckedSession, checkedSession } from '../../src/check/checked-session.ts';
import { type RecordingReadings, readRecording } from '../../src/measure/read-recording.ts';
import { measureRecorder } from '../../src/measure/recorder/measure-recorder.ts';
import { SteptoneError } from '../../src/model/errors.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { SessionInput } from '../../src/model/session-input.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { memorySound } from '../memory-sound.ts';
import type { Spoilable } from './spoilt.ts';

/** Bass falls above setting 20, and the rail clips above 32: what each lie would have the tool deny. */
export const SETTINGS = [12, 16, 20, 26, 32, 36] as const;
export type Setting = (typeof SETTINGS)[number];
const SCENARIO = exampleScenario('shelf loss', { settings: SETTINGS });

/** What is told wrongly of a good session: recordings changed, other ones in their place, or the notes. */
export interface Lie {
  /** A copy of the recording at a setting, to be changed. */
  readonly spoil?: Partial<Record<Setting, (recording: Spoilable) => void>>;
  /** The recording of another setting in its place. */
  readonly exchange?: Partial<Record<Setting, Setting>>;
  readonly session?: (input: SessionInput) => SessionInput;
}

const simulation = simulate(SCENARIO);
const recordings = new Map([...simulation.recordings()].map((one) => [one.file, one] as const));
const fileOf = (setting: number) => `setting-${setting}.wav`;
const good = new Map<string, RecordingReadings>();

/** Only what a lie changes is read anew. */
export function told(lie: Lie): CheckedSession {
  const sounds = new Map<string, ReturnType<typeof memorySound>>();
  const changed = new Set<string>();
  for (const setting of SETTINGS) {
    const file = fileOf(setting);
    const source = fileOf(lie.exchange?.[setting] ?? setting);
    const { sampleRateHz, channels } = recordings.get(source)!;
    const copy: Spoilable = { file, sampleRateHz, channels: [...channels] };
    const spoil = lie.spoil?.[setting];
    if (spoil !== undefined) {
      copy.channels = channels.map((channel) => channel.slice());
      spoil(copy);
    }
    if (spoil !== undefined || source !== file) changed.add(file);
    sounds.set(file, memorySound({ name: file, sampleRateHz: copy.sampleRateHz, channels: copy.channels }));
  }
  const input = lie.session?.(simulation.session) ?? simulation.session;
  const session = resolveSession(input, { folderFiles: [...sounds.keys()] });
  const open = (file: string) => sounds.get(file)!;
  const recorder = measureRecorder({ session, open });
  const readings = (file: string): RecordingReadings => {
    const recording = session.recordings.find((one) => one.file === file)!;
    const read = () => readRecording({ recording, session, sound: open(file), recorder });
    if (changed.has(file) || lie.session !== undefined) return read();
    const known = good.get(file) ?? read();
    good.set(file, known);
    return known;
  };
  return checkedSession({ session, open, ahead: { recorder, readings } });
}

export function isRefused(lie: Lie): SteptoneError | null {
  try {
    told(lie);
    return null;
  } catch (error) {
    if (error instanceof SteptoneError) return error;
    throw error;
  }
}
