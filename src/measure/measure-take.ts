import type { LadderMeasurement, NoiseMeasurement, RecorderState } from '../model/measurement.ts';
import type { ClockDifference } from '../takes/clock.ts';
import type { Continuity } from '../takes/continuity.ts';
import type { Disturbances } from './disturbances/disturbance.ts';
import { takeNoise } from './disturbances/take-noise.ts';
import { takeLadders } from './ladders/take-ladders.ts';
import { recorderWatch } from './recorder/recorder-state.ts';
import { type ChannelResponses, measureTakeResponses, type SweepFaults } from './sweeps/take-responses.ts';
import type { TakeReader } from './take-reader.ts';

export interface TakeMeasurement {
  readonly clock: ClockDifference | null;
  readonly channels: readonly ChannelMeasurement[];
  readonly continuity: Continuity;
  /** What went wrong in each channel of the recording meanwhile. */
  readonly faults: readonly ChannelFaults[];
}

export interface ChannelFaults extends Omit<SweepFaults, 'knocks' | 'announcements'>, Disturbances {
  /** Runs of samples at the recorder's full scale within the sweeps. */
  readonly sweepsClipped: number;
}

export interface ChannelMeasurement extends ChannelResponses {
  readonly ladders: readonly LadderMeasurement[];
  readonly noise: NoiseMeasurement | null;
  readonly recorder: RecorderState;
}

/**
 * Everything about one take, for each channel asked for.
 *
 * @param recorderFloorDbFs each channel's own floor from a shorted take, null where there is none
 */
export function measureTake(
  reader: TakeReader,
  { recorderFloorDbFs }: { recorderFloorDbFs: readonly (number | null)[] },
): TakeMeasurement {
  const watches = reader.channels.map(() => recorderWatch(reader.fullScaleStep));
  const see = (i: number, samples: Float32Array) => watches[i].see(samples);
  const { clock, continuity, channels, faults } = measureTakeResponses(reader, see);
  const sweepsClipped = watches.map((watch) => watch.state(0).clippedRuns);
  const timed = reader.withClock(clock?.ppm ?? 0);
  const ladders = takeLadders(timed, channels, see);
  const noise = takeNoise(timed, { recorderFloorDbFs, responses: channels });
  return {
    clock,
    continuity,
    channels: channels.map((responses, i) => ({
      ...responses,
      ladders: ladders[i].ladders,
      noise: noise[i].measurement,
      recorder: watches[i].state(timed.clockPpm),
    })),
    faults: faults.map((ofSweeps, i) => ({
      ...ofSweeps,
      knocks: [...ofSweeps.knocks, ...ladders[i].knocks, ...noise[i].knocks],
      announcements: [...ofSweeps.announcements, ...ladders[i].announcements, ...noise[i].announcements],
      sweepsClipped: sweepsClipped[i],
    })),
  };
}
