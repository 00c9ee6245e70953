import { type Random, seededRandom } from '../dsp/random.ts';
import type { RecordingKind } from '../model/session.ts';
import { CALIBRATION_TONE, calibrationVoltsRms } from './calibration-tone.ts';
import { decodedTrack } from './decoded-track.ts';
import { FRACTION_STREAM, NOISE_STREAM, type PlannedFile, planFiles, trackOf } from './file-plan.ts';
import { muteGain } from './mute-gain.ts';
import { record, sampledNoiseFactor } from './record.ts';
import type { Scenario, SimulatedTap } from './scenario.ts';
import { legShare, noiseVoltsRms } from './tap-levels.ts';
import { PRE_SECONDS, samplesPerTrackSecond, tapSignal, trackOnRecorderClock } from './tap-signal.ts';

export interface SimulatedRecording {
  readonly file: string;
  readonly kind: RecordingKind | 'tone';
  readonly sampleRateHz: number;
  readonly bits: Scenario['recorder']['bits'];
  /** One array a channel; exact in `bits`, so that writing it needs no further rounding. */
  readonly channels: Float32Array[];
}

/** Makes the recordings one at a time: only one is in memory besides each tap's track. */
export function* makeRecordings(scenario: Scenario): Generator<SimulatedRecording> {
  const { playerRateHz, seed, recorder } = scenario;
  const decoded = decodedTrack({ track: trackOf(scenario), sampleRateHz: playerRateHz });
  const fraction = seededRandom(seed, FRACTION_STREAM).uniform();
  const track = trackOnRecorderClock(scenario, { decoded, fraction });
  const signals = new Map<string, (setting: number) => Float64Array>();
  const signalOf = (tap: SimulatedTap) => {
    const signal = signals.get(tap.id) ?? tapSignal(scenario, { tap, track });
    signals.set(tap.id, signal);
    return signal;
  };

  const longest = Math.max(...planFiles(scenario).map(({ durationSeconds }) => durationSeconds));
  const scratch = new Float64Array(Math.round(longest * recorder.sampleRateHz)); // fresh memory costs more than the sums
  for (const [fileIndex, planned] of planFiles(scenario).entries()) {
    const channels = planned.tapIds.map((tapId, channel) => {
      const random = seededRandom(seed, NOISE_STREAM, fileIndex, channel);
      const tap = scenario.taps.find(({ id }) => id === tapId)!;
      return record(
        voltsAtPad(scratch, { scenario, planned, tap, channel, signalOf, random }),
        scenario,
        random,
      );
    });
    yield {
      file: planned.file,
      kind: planned.kind,
      sampleRateHz: recorder.sampleRateHz,
      bits: recorder.bits,
      channels,
    };
  }
}

interface ChannelParts {
  readonly scenario: Scenario;
  readonly planned: PlannedFile;
  readonly tap: SimulatedTap;
  readonly channel: number;
  readonly signalOf: (tap: SimulatedTap) => (setting: number) => Float64Array;
  readonly random: Random;
}

function voltsAtPad(scratch: Float64Array, parts: ChannelParts): Float64Array {
  const { scenario, planned, tap } = parts;
  const volts = scratch
    .subarray(0, Math.round(planned.durationSeconds * scenario.recorder.sampleRateHz))
    .fill(0);
  switch (planned.kind) {
    case 'takes':
      for (const { setting, startSeconds } of planned.takes)
        addAt(volts, parts.signalOf(tap)(setting), startSeconds, scenario);
      addNoise(volts, parts);
      addLines(volts, tap, scenario);
      break;
    case 'loop':
      addAt(volts, loopSignal(parts), planned.takes[0].startSeconds, scenario);
      return volts; // the radio, and with it the leg, is not in the way
    case 'tone':
      addTone(volts, calibrationVoltsRms(scenario) / legShare(tap), scenario);
      break;
    case 'shorted':
      break;
  }
  const share = legShare(tap);
  if (share !== 1) for (let n = 0; n < volts.length; n++) volts[n] *= share;
  return volts;
}

/** The player alone, 6 dB below the recorder's full scale: its left on odd channels, its right on even ones. */
function loopSignal({ scenario, channel, signalOf }: ChannelParts): Float64Array {
  const { padRatio, fullScaleVoltsRms } = scenario.recorder;
  const side = channel % 2 === 0 ? 'left' : 'right';
  const wire: SimulatedTap = {
    ...WIRE,
    id: `player ${side}`,
    side,
    volume: { atSetting: 0, voltsRms: 0.5 * padRatio * fullScaleVoltsRms, dbPerStep: 0 },
  };
  return signalOf(wire)(0);
}

const WIRE: Omit<SimulatedTap, 'id' | 'side' | 'volume'> = {
  position: 'unknown',
  load: 'nothing',
  connection: 'pair',
  clipBeforeDbFs: null,
  limiterBefore: null,
  fixedEq: [],
  volumeDependent: [],
  crossover: [],
  allPass: [],
  delayMicroseconds: 0,
  inverted: false,
  limiterAfter: null,
  railVoltsPeak: null,
  noise: { voltsRms: 0 },
  lines: [],
  muteInSilence: null,
};

function addAt(
  volts: Float64Array,
  signal: Float64Array,
  startSeconds: number,
  { recorder }: Scenario,
): void {
  const start = Math.round((startSeconds - PRE_SECONDS) * recorder.sampleRateHz);
  const end = Math.min(volts.length, start + signal.length);
  for (let n = Math.max(0, start); n < end; n++) volts[n] += signal[n - start];
}

/** Hiss at the level of the take that plays, or played last; muted with the signal where the radio mutes itself. */
function addNoise(volts: Float64Array, { scenario, planned, tap, random }: ChannelParts): void {
  const rateHz = scenario.recorder.sampleRateHz;
  const track = trackOf(scenario);
  const { takes } = planned;
  let from = 0;
  takes.forEach(({ setting, startSeconds }, i) => {
    const to = i + 1 < takes.length ? Math.round(takes[i + 1].startSeconds * rateHz) : volts.length;
    const sigma = noiseVoltsRms(tap, setting) * sampledNoiseFactor(rateHz);
    for (let n = from; n < to; n++) volts[n] += sigma * random.gaussian();
    if (tap.muteInSilence !== null) {
      for (let n = from; n < to; n++)
        volts[n] *= muteGain(track, tap.muteInSilence, n / rateHz - startSeconds);
    }
    from = Math.max(from, to);
  });
}

function addLines(volts: Float64Array, { lines }: SimulatedTap, scenario: Scenario): void {
  for (const line of lines) {
    for (let harmonic = 1; harmonic <= line.harmonics; harmonic++) {
      addSine(
        volts,
        { frequencyHz: line.frequencyHz * harmonic, voltsRms: line.voltsRms / harmonic },
        scenario,
      );
    }
  }
}

function addTone(volts: Float64Array, voltsRms: number, scenario: Scenario): void {
  addSine(volts, { frequencyHz: CALIBRATION_TONE.frequencyHz, voltsRms }, scenario);
}

/** By turning a phasor from sample to sample: after an hour its error is still below a millionth. */
function addSine(
  volts: Float64Array,
  sine: { frequencyHz: number; voltsRms: number },
  scenario: Scenario,
): void {
  const step = (2 * Math.PI * sine.frequencyHz) / samplesPerTrackSecond(scenario);
  const [turnReal, turnImag] = [Math.cos(step), Math.sin(step)];
  let real = sine.voltsRms * Math.SQRT2;
  let imag = 0;
  for (let n = 0; n < volts.length; n++) {
    volts[n] += imag;
    const before = real;
    real = before * turnReal - imag * turnImag;
    imag = before * turnImag + imag * turnReal;
  }
}
