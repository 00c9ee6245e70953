import type { LadderMeasurement, NoiseMeasurement, RecorderState } from '../model/measurement.ts';
import { type FrequencyResponse, type MagnitudeCurve, magnitudeCurve } from '../model/response.ts';
import type { ClockDifference } from '../takes/clock.ts';
import type { Continuity } from '../takes/continuity.ts';
import {
  type LadderSection,
  ladderStepStartSeconds,
  type Section,
  type SectionId,
  sectionOf,
} from '../tones/track.ts';
import { eachAround, MARGIN_SECONDS } from './around-section.ts';
import { measureNoise } from './disturbances/noise.ts';
import { withoutKnockedSteps } from './ladders/knocked-steps.ts';
import { measureLadder } from './ladders/ladder.ts';
import { recorderWatch } from './recorder/recorder-state.ts';
import { standardDeviation } from './standard-deviation.ts';
import { type ChannelResponses, measureTakeResponses, type SweepFaults } from './sweeps/take-responses.ts';
import { toneArrivalSeconds } from './sweeps/tone-arrival.ts';
import { undisturbedStretch } from './sweeps/undisturbed-stretch.ts';
import type { TakeReader } from './take-reader.ts';

export interface TakeMeasurement {
  readonly clock: ClockDifference | null;
  readonly channels: readonly ChannelMeasurement[];
  readonly continuity: Continuity;
  /** What went wrong in each channel of the recording meanwhile. */
  readonly faults: readonly ChannelFaults[];
}

export interface ChannelFaults extends Omit<SweepFaults, 'knocks' | 'announcements'> {
  readonly knocks: readonly Knock[];
  readonly announcements: readonly Announcement[];
  /** Runs of samples at the recorder's full scale within the sweeps. */
  readonly sweepsClipped: number;
}

/** A chime, a voice prompt or talk in a section; what it covered is not used. */
export interface Announcement {
  readonly section: SectionId;
  /** In the recording. */
  readonly fromSeconds: number;
  readonly toSeconds: number;
}

/** A knock in a section; what it spoilt is not used. */
export interface Knock {
  readonly section: SectionId;
  /** In the recording. */
  readonly atSeconds: number;
  /** Frequencies of a sweep that are not trusted for it; null elsewhere. */
  readonly spoiltHz: readonly [number, number] | null;
}

export interface ChannelMeasurement extends ChannelResponses {
  readonly ladders: readonly LadderMeasurement[];
  readonly noise: NoiseMeasurement | null;
  readonly recorder: RecorderState;
}

const LADDER_IDS = ['ladder bass', 'ladder middle', 'ladder treble'] as const;
/** Fades of the quiet tone, and a mute that takes its time to close. */
const NOISE_EDGE_SECONDS = 0.45;

/**
 * Everything about one take, for each channel asked for.
 *
 * @param recorderFloorDbFs each channel's own floor from a shorted take, null where there is none
 */
export function measureTake(
  reader: TakeReader,
  { recorderFloorDbFs }: { recorderFloorDbFs: readonly (number | null)[] },
): TakeMeasurement {
  const { take, channels } = reader;
  const watches = channels.map(() => recorderWatch(reader.fullScaleStep));
  const responses = measureTakeResponses(reader, (i, samples) => watches[i].see(samples));
  const sweepsClipped = watches.map((watch) => watch.state(0).clippedRuns);
  const timed = reader.withClock(responses.clock?.ppm ?? 0);
  const ladders: LadderMeasurement[][] = channels.map(() => []);
  const knocks: Knock[][] = responses.faults.map((faults) => [...faults.knocks]);
  const announcements: Announcement[][] = responses.faults.map((faults) => [...faults.announcements]);
  const both = responses.channels.map(({ left, right }) => ({
    responses: [left, right],
    curve: magnitudeCurve([left, right]),
  }));
  for (const id of LADDER_IDS) {
    const ladder = sectionOf(take.track, 'ladder', id);
    if (ladder === undefined) continue;
    eachAround(timed, ladder, (read, i) => {
      watches[i].see(read.samples);
      const whole = ladderOf(timed, ladder, { ...read, ...both[i] });
      const kept = withoutKnockedSteps(whole, {
        stepSeconds: ladder.cyclesPerStep / ladder.toneHz,
        noiseAfter: noiseAfter(timed, ladder, { ...read, highestHarmonic: whole.highestHarmonic }),
      });
      if (kept.ladder.steps.length > 0) ladders[i].push(kept.ladder);
      const startOf = (step: number) => take.startSeconds + ladderStepStartSeconds(ladder, step);
      for (const step of kept.knocked)
        knocks[i].push({ section: id, atSeconds: startOf(step), spoiltHz: null });
      for (const [first, last] of kept.disturbed)
        announcements[i].push({ section: id, fromSeconds: startOf(first), toSeconds: startOf(last + 1) });
    });
  }
  const longest = Math.max(0, ...take.track.sections.map(({ durationSeconds }) => durationSeconds));
  const noise = timed.parts(longest * timed.sampleRateHz).flatMap((places) =>
    noiseOf(timed.only(places), {
      recorderFloorDbFs: places.map((i) => recorderFloorDbFs[i]),
      responses: places.map((i) => responses.channels[i]),
    }),
  );
  noise.forEach((one, i) => {
    knocks[i].push(...one.knocks);
    announcements[i].push(...one.announcements);
  });
  return {
    clock: responses.clock,
    continuity: responses.continuity,
    channels: responses.channels.map((response, i) => ({
      ...response,
      ladders: ladders[i],
      noise: noise[i].measurement,
      recorder: watches[i].state(timed.clockPpm),
    })),
    faults: responses.faults.map((faults, i) => ({
      ...faults,
      knocks: knocks[i],
      announcements: announcements[i],
      sweepsClipped: sweepsClipped[i],
    })),
  };
}

function ladderOf(
  reader: TakeReader,
  ladder: LadderSection,
  of: {
    samples: Float32Array;
    startFrame: number;
    responses: readonly FrequencyResponse[];
    curve: MagnitudeCurve;
  },
): LadderMeasurement {
  return measureLadder({
    ...of,
    ladder,
    clockPpm: reader.clockPpm,
    sampleRateHz: reader.sampleRateHz,
    ladderStartSeconds:
      reader.startSecondsOf(ladder) + withinMargin(toneArrivalSeconds(of.responses, ladder.toneHz)),
  });
}

/**
 * Noise after the last step as `noiseAmplitude` of a step would have it; the lower of two readings, because what rings on
 * falls from one to the next.
 */
function noiseAfter(
  reader: TakeReader,
  ladder: LadderSection,
  of: { samples: Float32Array; startFrame: number; highestHarmonic: number },
): number {
  const { sampleRateHz, clockPpm } = reader;
  const end = reader.startSecondsOf(ladder) + ladder.durationSeconds * (1 + clockPpm * 1e-6);
  const parts = AFTER_SECONDS.slice(1).map((to, p) =>
    of.samples.subarray(
      Math.round((end + AFTER_SECONDS[p]) * sampleRateHz) - of.startFrame,
      Math.round((end + to) * sampleRateHz) - of.startFrame,
    ),
  );
  const length = Math.round((ladder.cyclesUsed / ladder.toneHz) * sampleRateHz);
  return Math.min(...parts.map(standardDeviation)) * Math.sqrt((4 * (of.highestHarmonic - 1)) / length);
}

/** Behind the ringing of most filters, within what is read. */
const AFTER_SECONDS = [0.06, 0.1, 0.14];

function withinMargin(seconds: number): number {
  return Math.max(-MARGIN_SECONDS, Math.min(MARGIN_SECONDS, seconds));
}

function noiseOf(
  reader: TakeReader,
  of: { recorderFloorDbFs: readonly (number | null)[]; responses: readonly ChannelResponses[] },
): { measurement: NoiseMeasurement | null; knocks: Knock[]; announcements: Announcement[] }[] {
  const { take, channels, sampleRateHz, clockPpm } = reader;
  const quietTone = sectionOf(take.track, 'tones', 'quiet tone');
  const silence = sectionOf(take.track, 'silence', 'silence');
  if (quietTone === undefined || silence === undefined)
    return channels.map(() => ({ measurement: null, knocks: [], announcements: [] }));
  const quiet = readInside(reader, quietTone);
  const silent = readInside(reader, silence);
  const tonesHz = quietTone.tonesHz.map((hz) => hz / (1 + clockPpm * 1e-6));
  return channels.map((_, i) => {
    const undisturbed = [
      undisturbedPart(quiet.samples[i], { ...quiet, section: quietTone.id, tonesHz, sampleRateHz }),
      undisturbedPart(silent.samples[i], { ...silent, section: silence.id, tonesHz: [], sampleRateHz }),
    ];
    const heard = {
      knocks: undisturbed.flatMap(({ knocks }) => knocks),
      announcements: undisturbed.flatMap(({ announcements }) => announcements),
    };
    // A recording that was stopped early still has its responses.
    if (undisturbed.some(({ samples }) => samples.length < sampleRateHz))
      return { measurement: null, ...heard };
    const measurement = measureNoise({
      underQuietTone: undisturbed[0].samples,
      inSilence: undisturbed[1].samples,
      tonesHz,
      sampleRateHz,
      left: of.responses[i].left,
      right: of.responses[i].right,
      recorderDbFs: of.recorderFloorDbFs[i],
    });
    return { measurement: isHeard(measurement) ? measurement : null, ...heard };
  });
}

/** What is zero to the last bit, gated or too coarsely rounded, is no measurement of noise. */
function isHeard({ underQuietToneDbFs, underQuietToneADbFs, inSilenceDbFs }: NoiseMeasurement): boolean {
  return [underQuietToneDbFs, underQuietToneADbFs, inSilenceDbFs].every(Number.isFinite);
}

/** What of a section of noise nothing struck, and what struck the rest. */
function undisturbedPart(
  samples: Float32Array,
  of: { start: number; section: SectionId; tonesHz: readonly number[]; sampleRateHz: number },
): { samples: Float32Array; knocks: Knock[]; announcements: Announcement[] } {
  const { from, to, knocksAt, announcements } = undisturbedStretch(samples, of);
  const seconds = (at: number) => (of.start + at) / of.sampleRateHz;
  return {
    samples: samples.subarray(from, to),
    knocks: knocksAt.map((at) => ({
      section: of.section,
      atSeconds: seconds(at),
      spoiltHz: null,
    })),
    announcements: announcements.map((one) => ({
      section: of.section,
      fromSeconds: seconds(one.from),
      toSeconds: seconds(one.to),
    })),
  };
}

/** A section without NOISE_EDGE_SECONDS at its ends, as far as the recording goes. */
function readInside(reader: TakeReader, section: Section): { samples: Float32Array[]; start: number } {
  const { sampleRateHz, length } = reader;
  const start = Math.round((reader.startSecondsOf(section) + NOISE_EDGE_SECONDS) * sampleRateHz);
  const count = Math.round((section.durationSeconds - 2 * NOISE_EDGE_SECONDS) * sampleRateHz);
  return { samples: reader.read({ start, count: Math.max(0, Math.min(count, length - start)) }), start };
}
