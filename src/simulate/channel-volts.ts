import type { Random } from '../dsp/random.ts';
import { addAnnouncements } from './announcements.ts';
import { CALIBRATION_TONE, calibrationVoltsRms } from './calibration-tone.ts';
import { addEngineLines, addHiss, addLines, addSine, addSteadyHiss } from './disturbances.ts';
import type { PlannedFile, PlannedTake } from './file-plan.ts';
import { applyGainDrift } from './gain-drift.ts';
import type { Scenario } from './scenario.ts';
import type { SimulatedTap } from './simulated-tap.ts';
import { legShare } from './tap-levels.ts';
import { PRE_SECONDS, samplesPerTrackSecond } from './tap-signal.ts';

interface ChannelParts {
  readonly scenario: Scenario;
  readonly planned: PlannedFile;
  readonly tap: SimulatedTap;
  readonly channel: number;
  readonly signalOf: (tap: SimulatedTap, channel: number) => (setting: number) => Float64Array;
  readonly random: Random;
}

/** What stands at the pad of one channel during a file, in volts; `scratch` holds it until the next call. */
export function channelVolts(scratch: Float64Array, parts: ChannelParts): Float64Array {
  const { scenario, planned, tap } = parts;
  const volts = scratch
    .subarray(0, Math.round(planned.durationSeconds * scenario.recorder.sampleRateHz))
    .fill(0);
  switch (planned.kind) {
    case 'takes':
      for (const take of planned.takes) addTake(volts, { ...parts, take });
      addHiss(volts, parts);
      addLines(volts, tap, scenario);
      addAnnouncements(volts, { ...tap, file: planned.file, ...scenario.recorder });
      break;
    case 'loop':
      addAt(volts, { signal: loopSignal(parts), startSeconds: planned.takes[0].startSeconds, scenario });
      return volts; // the radio, and with it the leg, is not in the way
    case 'tone':
      addSine(volts, {
        frequencyHz: CALIBRATION_TONE.frequencyHz,
        voltsRms: calibrationVoltsRms(scenario) / legShare(tap),
        samplesPerSecond: samplesPerTrackSecond(scenario),
      });
      break;
    case 'noise':
      addSteadyHiss(volts, { ...parts, setting: planned.noise!.setting });
      addLines(volts, tap, scenario);
      addEngineLines(volts, { tap, scenario, rpm: planned.noise!.rpm });
      break;
    default:
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
  return signalOf(wire, channel)(0);
}

const WIRE: Omit<SimulatedTap, 'id' | 'side' | 'volume'> = {
  position: 'unknown',
  load: 'nothing',
  connection: 'pair',
  clipBeforeDbFs: null,
  limiterBefore: null,
  fixedEq: [],
  transformerVoltsAt20Hz: null,
  volumeDependent: [],
  crossover: [],
  allPass: [],
  delayMicroseconds: 0,
  inverted: false,
  limiterAfter: null,
  railVoltsPeak: null,
  noise: { voltsRms: 0 },
  lines: [],
  engineLines: [],
  announcements: [],
  fadeInSeconds: 0,
  muteInSilence: null,
};

/** The signal of a take from its start to its end, or to where the person stopped it. */
function addTake(
  volts: Float64Array,
  { scenario, tap, channel, signalOf, take }: ChannelParts & { take: PlannedTake },
): void {
  const rateHz = scenario.recorder.sampleRateHz;
  const signal = signalOf(tap, channel)(take.setting);
  const trackStart = Math.round(PRE_SECONDS * rateHz);
  const fade = tap.fadeInSeconds * rateHz;
  if (fade > 0)
    for (let n = 0; n < trackStart + fade; n++)
      signal[n] *= Math.min(1, Math.max(0, (n - trackStart) / fade));
  const { gainDrift } = tap;
  if (gainDrift !== undefined && (gainDrift.setting ?? take.setting) === take.setting)
    applyGainDrift(signal, gainDrift, { trackStart, sampleRateHz: rateHz });
  const stopped =
    take.abortedAfterSeconds === null ? signal.length : trackStart + take.abortedAfterSeconds * rateHz;
  addAt(volts, {
    signal: signal.subarray(0, Math.round(stopped)),
    startSeconds: take.startSeconds,
    scenario,
  });
}

function addAt(
  volts: Float64Array,
  { signal, startSeconds, scenario }: { signal: Float64Array; startSeconds: number; scenario: Scenario },
): void {
  const start = Math.round((startSeconds - PRE_SECONDS) * scenario.recorder.sampleRateHz);
  const end = Math.min(volts.length, start + signal.length);
  for (let n = Math.max(0, start); n < end; n++) volts[n] += signal[n - start];
}
