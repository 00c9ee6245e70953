import { analyse } from '../../src/analyse.ts';
import { type MeasuredSession, measureSession } from '../../src/measure/measure-session.ts';
import type { Remark } from '../../src/model/check.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { type FrequencyResponse, magnitudeDb } from '../../src/model/response.ts';
import type { Results } from '../../src/model/results.ts';
import type { Session } from '../../src/model/session.ts';
import type { SessionInput } from '../../src/model/session-input.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { SimulatedRecording } from '../../src/simulate/make-recordings.ts';
import type { Scenario } from '../../src/simulate/scenario.ts';
import { keptReadings, keptRecordings } from '../kept-recordings.ts';
import { memorySound } from '../memory-sound.ts';

/** A recording that a test may spoil: its channels are copies, and may be replaced or cut. */
export interface Spoilable {
  readonly file: string;
  sampleRateHz: number;
  channels: Float32Array[];
}
export type Spoil = (recording: Spoilable, index: number) => void;

/** A radio whose bass falls above setting 20, full track, a pair: what most faults are tried on. */
export const FALLING_BASS = exampleScenario('shelf loss', { settings: [12, 16, 20, 26] });
/** Its setting 20 only, for faults that concern one take. */
export const ONE_TAKE = exampleScenario('shelf loss', { settings: [20] });

/** The first recording of a scenario, spoilt and measured, with what the check says of its takes. */
export function measuredSpoilt(
  spoil: Spoil,
  scenario: Scenario = ONE_TAKE,
): Omit<MeasuredSession, 'remarks'> & { remarks: Remark[] } {
  const { made: recordings, session: input } = keptRecordings(scenario);
  const whole = resolveSession(input, { folderFiles: recordings.map(({ file }) => file) });
  const session = { ...whole, recordings: whole.recordings.slice(0, 1) };
  const measured = measureSession({ session, ...filesOf(session, [spoilt(recordings[0], spoil, 0)]) });
  return { ...measured, remarks: measured.remarks.flat() };
}

/** A whole scenario analysed, after each recording and the session were spoilt. */
export function analysedSpoilt(of: {
  scenario?: Scenario;
  spoil?: Spoil;
  session?: (input: SessionInput) => SessionInput;
}): Results {
  const { made, session: input } = keptRecordings(of.scenario ?? FALLING_BASS);
  const recordings = made.map((recording, index) => spoilt(recording, of.spoil, index));
  const session = resolveSession(of.session?.(input) ?? input, {
    folderFiles: recordings.map(({ file }) => file),
  });
  return analyse({ session, ...filesOf(session, recordings), toolVersion: 'test', inputs: [] });
}

function filesOf(session: Session, recordings: readonly Spoilable[]) {
  const byFile = new Map(recordings.map((recording) => [recording.file, recording]));
  const open = (file: string) => memorySound({ name: file, ...byFile.get(file)! });
  return { open, ahead: keptReadings(session, byFile) };
}

/** The recording itself where nothing was done to it. */
function spoilt(recording: SimulatedRecording, spoil: Spoil | undefined, index: number): Spoilable {
  if (spoil === undefined) return recording;
  const { file, sampleRateHz, channels } = recording;
  const copy: Spoilable = { file, sampleRateHz, channels: channels.map((channel) => channel.slice()) };
  spoil(copy, index);
  const isAsItWas =
    copy.channels.length === channels.length &&
    copy.channels.every((channel, i) => isSame(channel, channels[i]));
  return isAsItWas ? { ...copy, channels } : copy;
}

function isSame(one: Float32Array, other: Float32Array): boolean {
  if (one.length !== other.length) return false;
  for (let n = 0; n < one.length; n++) if (one[n] !== other[n]) return false;
  return true;
}

/** Multiplies a channel by a gain that depends on the time in the recording. */
export function applyGain(
  channel: Float32Array,
  { sampleRateHz }: { sampleRateHz: number },
  gainAt: (seconds: number) => number,
): void {
  for (let n = 0; n < channel.length; n++) channel[n] *= gainAt(n / sampleRateHz);
}

/** A struck bench: a burst that rings for 30 ms, low or sharp. */
export function knock(
  channel: Float32Array,
  of: { sampleRateHz: number; atSeconds: number; peak: number; ringsHz?: number },
): void {
  const { sampleRateHz, atSeconds, peak, ringsHz = 240 } = of;
  const start = Math.round(atSeconds * sampleRateHz);
  for (let n = 0; n < 0.15 * sampleRateHz; n++) {
    const t = n / sampleRateHz;
    channel[start + n] += peak * Math.exp(-t / 0.02) * Math.sin(2 * Math.PI * ringsHz * t + 1);
  }
}

/** Largest difference in a band, decibels, where both trust themselves. */
export function largestDifferenceDb(
  one: FrequencyResponse,
  other: FrequencyResponse,
  [low, high]: readonly [number, number],
) {
  const [a, b] = [magnitudeDb(one), magnitudeDb(other)];
  return gridFrequencyHz.reduce(
    (most, hz, i) => (hz < low || hz > high ? most : Math.max(most, Math.abs(a[i] - b[i]))),
    0,
  );
}
