import { seededRandom } from '../dsp/random.ts';
import type { RecordingKind } from '../model/session.ts';
import { channelVolts } from './channel-volts.ts';
import { decodedTrack } from './decoded-track.ts';
import { FRACTION_STREAM, NOISE_STREAM, type PlannedFile, planFiles, trackOf } from './file-plan.ts';
import { record } from './record.ts';
import type { Scenario } from './scenario.ts';
import type { SimulatedTap } from './simulated-tap.ts';
import { signalLength, tapSignal, trackOnRecorderClock } from './tap-signal.ts';

export interface SimulatedRecording {
  readonly file: string;
  readonly kind: RecordingKind | 'tone';
  readonly sampleRateHz: number;
  readonly bits: Scenario['recorder']['bits'];
  /** One array a channel; exact in `bits`, so that writing it needs no further rounding. */
  readonly channels: Float32Array[];
}

/** Gives what is known of a key already, or makes it. */
export type KeepChannel = (key: string, make: () => Float32Array) => Float32Array;

/**
 * Makes the recordings one at a time: only one is in memory besides each tap's track.
 *
 * @param keep may answer with a channel that was made before under the same key
 */
export function* makeRecordings(
  scenario: Scenario,
  keep: KeepChannel = (_, make) => make(),
): Generator<SimulatedRecording> {
  const { playerRateHz, seed, recorder } = scenario;
  const decoded = decodedTrack({ track: trackOf(scenario), sampleRateHz: playerRateHz });
  const fraction = seededRandom(seed, FRACTION_STREAM).uniform();
  const track = trackOnRecorderClock(scenario, { decoded, fraction });
  const signalScratch = new Float64Array(signalLength(scenario, decoded.left.length / playerRateHz));
  const signals = new Map<string, (setting: number) => Float64Array>();
  const signalOf = (tap: SimulatedTap, channel: number) => {
    const skew = recorder.channelSkewMicroseconds[channel] ?? 0;
    const key = `${tap.id} ${skew}`;
    const late = { ...tap, delayMicroseconds: tap.delayMicroseconds - skew };
    const signal = signals.get(key) ?? tapSignal(scenario, { tap: late, track, scratch: signalScratch });
    signals.set(key, signal);
    return signal;
  };

  const longest = Math.max(...planFiles(scenario).map(({ durationSeconds }) => durationSeconds));
  const scratch = new Float64Array(Math.round(longest * recorder.sampleRateHz)); // fresh memory costs more than the sums
  for (const [fileIndex, planned] of planFiles(scenario).entries()) {
    const channels = planned.tapIds.map((tapId, channel) => {
      const tap = scenario.taps.find(({ id }) => id === tapId)!;
      return keep(keyOf({ scenario, planned, tap, fileIndex, channel }), () => {
        const random = seededRandom(seed, NOISE_STREAM, fileIndex, channel);
        const volts = channelVolts(scratch, { scenario, planned, tap, channel, signalOf, random });
        if (recorder.deadChannels.includes(channel + 1)) volts.fill(0);
        return record(volts, { scenario, file: planned.file, random });
      });
    });
    if (planned.kind === 'takes') loseSamples(channels, { recorder, file: planned.file });
    if (recorder.swappedChannels !== null) swap(channels, recorder.swappedChannels);
    yield {
      file: planned.file,
      kind: planned.kind,
      sampleRateHz: recorder.sampleRateHz,
      bits: recorder.bits,
      channels,
    };
  }
}

/** All that a channel depends on; samples that are lost and inputs that are swapped come after it. */
function keyOf(of: {
  scenario: Scenario;
  planned: PlannedFile;
  tap: SimulatedTap;
  fileIndex: number;
  channel: number;
}): string {
  const { scenario, planned, tap, fileIndex, channel } = of;
  const heard = <Event extends { file?: string | undefined }>(events: readonly Event[]) =>
    events.filter(({ file }) => (file ?? planned.file) === planned.file);
  const { dropouts: _lost, swappedChannels: _swapped, ...recorder } = scenario.recorder;
  const { seed, playerRateHz, track, calibration, taps, settings } = scenario;
  return JSON.stringify({
    ...{ seed, playerRateHz, track, fileIndex, channel, planned },
    tap: { ...tap, announcements: heard(tap.announcements) },
    recorder: { ...recorder, knocks: heard(recorder.knocks) },
    // A steady tone has the level of the first output at the first setting.
    tone: planned.kind === 'tone' ? { calibration, tap: taps[0], setting: settings[0] } : null,
  });
}

function loseSamples(
  channels: Float32Array[],
  { recorder, file }: { recorder: Scenario['recorder']; file: string },
): void {
  for (const { file: only = file, atSeconds, samples } of recorder.dropouts) {
    if (only !== file) continue;
    const at = Math.round(atSeconds * recorder.sampleRateHz);
    channels.forEach((channel, i) => {
      const shorter = new Float32Array(channel.length - samples);
      shorter.set(channel.subarray(0, at));
      shorter.set(channel.subarray(at + samples), at);
      channels[i] = shorter;
    });
  }
}

/** Channels are counted from 1; where a file has fewer, nothing is swapped. */
function swap(channels: Float32Array[], [one, other]: readonly [number, number]): void {
  if (Math.max(one, other) > channels.length) return;
  [channels[one - 1], channels[other - 1]] = [channels[other - 1], channels[one - 1]];
}
