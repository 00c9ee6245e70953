import { analyse } from '../../src/analyse.ts';
import { type MeasuredSession, measureSession } from '../../src/measure/measure-session.ts';
import type { Remark } from '../../src/model/check.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { type FrequencyResponse, magnitudeDb } from '../../src/model/response.ts';
import type { Results } from '../../src/model/results.ts';
import type { SessionInput } from '../../src/model/session-input.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { SimulatedRecording } from '../../src/simulate/make-recordings.ts';
import type { Scenario } from '../../src/simulate/scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
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

/** Kept as long as a test holds the scenario. */
const made = new WeakMap<Scenario, { recordings: SimulatedRecording[]; session: SessionInput }>();

function simulated(scenario: Scenario) {
  const known = made.get(scenario);
  if (known !== undefined) return known;
  const simulation = simulate(scenario);
  const now = { recordings: [...simulation.recordings()], session: simulation.session };
  made.set(scenario, now);
  return now;
}

/** The first recording of a scenario, spoilt and measured, with what the check says of its takes. */
export function measuredSpoilt(
  spoil: Spoil,
  scenario: Scenario = ONE_TAKE,
): Omit<MeasuredSession, 'remarks'> & { remarks: Remark[] } {
  const { recordings, session: input } = simulated(scenario);
  const whole = resolveSession(input, { folderFiles: recordings.map(({ file }) => file) });
  const session = { ...whole, recordings: whole.recordings.slice(0, 1) };
  const sound = spoiltSound(recordings[0], { spoil, index: 0 });
  const measured = measureSession({ session, open: () => sound });
  return { ...measured, remarks: measured.remarks.flat() };
}

/** A whole scenario analysed, after each recording and the session were spoilt. */
export function analysedSpoilt(of: {
  scenario?: Scenario;
  spoil?: Spoil;
  session?: (input: SessionInput) => SessionInput;
}): Results {
  const { recordings, session: input } = simulated(of.scenario ?? FALLING_BASS);
  const sounds = new Map(
    recordings.map((recording, index) => [
      recording.file,
      spoiltSound(recording, { spoil: of.spoil, index }),
    ]),
  );
  const session = resolveSession(of.session?.(input) ?? input, { folderFiles: [...sounds.keys()] });
  return analyse({ session, open: (file) => sounds.get(file)!, toolVersion: 'test', inputs: [] });
}

function spoiltSound(
  { file, sampleRateHz, channels }: SimulatedRecording,
  { spoil, index }: { spoil: Spoil | undefined; index: number },
) {
  if (spoil === undefined) return memorySound({ name: file, sampleRateHz, channels });
  const copy: Spoilable = { file, sampleRateHz, channels: channels.map((channel) => channel.slice()) };
  spoil(copy, index);
  return memorySound({ name: file, sampleRateHz: copy.sampleRateHz, channels: copy.channels });
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
