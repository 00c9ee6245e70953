import type { ReadAhead } from '../src/measure/measure-session.ts';
import { type RecordingReadings, readRecording } from '../src/measure/read-recording.ts';
import { measureRecorder } from '../src/measure/recorder/measure-recorder.ts';
import type { Session } from '../src/model/session.ts';
import type { SimulatedRecording } from '../src/simulate/make-recordings.ts';
import type { Scenario } from '../src/simulate/scenario.ts';
import { type Simulation, simulate } from '../src/simulate/simulate.ts';
import { memorySound } from './memory-sound.ts';

/** Half a minute of one channel has 6 MB, a full track 9. */
const MOST_BYTES = 400e6;
/** The last channels that were made, by all that they depend on: scenarios share most of them. */
const channels = new Map<string, Float32Array>();
let bytes = 0;

/** A scenario's recordings, made once for all tests of a process that ask for the same. Not to be changed: others read them too. */
export function keptRecordings(scenario: Scenario): Simulation & { made: SimulatedRecording[] } {
  const simulation = simulate(scenario);
  return { ...simulation, made: [...simulation.recordings(kept)] };
}

function kept(key: string, make: () => Float32Array): Float32Array {
  const known = channels.get(key);
  channels.delete(key);
  const samples = known ?? make();
  channels.set(key, samples);
  if (known === undefined) bytes += samples.byteLength;
  for (const [oldest, { byteLength }] of channels) {
    if (bytes <= MOST_BYTES) break;
    channels.delete(oldest);
    bytes -= byteLength;
  }
  return samples;
}

/** What each file says, as long as its first channel is held: by the session that it was read for and its other channels. */
const readBefore = new WeakMap<
  Float32Array,
  { session: string; channels: readonly Float32Array[]; readings: RecordingReadings }[]
>();

/**
 * Reads files of unchanged channels once. Undefined where one file bears on how the others are read (a loop take).
 *
 * @param recordings the session's, by their files
 */
export function keptReadings(
  session: Session,
  recordings: ReadonlyMap<string, Pick<SimulatedRecording, 'sampleRateHz' | 'channels'>>,
): ReadAhead | undefined {
  if (session.recordings.some(({ kind }) => kind !== 'takes')) return undefined;
  const open = (file: string) => memorySound({ name: file, ...recordings.get(file)! });
  const recorder = measureRecorder({ session, open });
  const readings = (file: string): RecordingReadings => {
    const recording = session.recordings.find((one) => one.file === file)!;
    const { sampleRateHz, channels } = recordings.get(file)!;
    const { name: _, recordings: __, notes: ___, ...notes } = session;
    const key = JSON.stringify([recording, sampleRateHz, notes]);
    const ofFirst = readBefore.get(channels[0]) ?? [];
    readBefore.set(channels[0], ofFirst);
    const known = ofFirst.find(
      (one) =>
        one.session === key &&
        one.channels.length === channels.length &&
        one.channels.every((channel, i) => channel === channels[i]),
    );
    if (known !== undefined) return known.readings;
    const now = readRecording({ recording, session, sound: open(file), recorder });
    ofFirst.push({ session: key, channels, readings: now });
    return now;
  };
  return { recorder, readings };
}
