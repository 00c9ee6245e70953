import type { Sound } from '../audio/sound.ts';
import type { LadderMeasurement, NoiseMeasurement, RecorderState } from '../model/measurement.ts';
import { magnitudeCurve } from '../model/response.ts';
import type { ClockDifference } from '../takes/clock.ts';
import type { Continuity } from '../takes/continuity.ts';
import type { Take } from '../takes/find-takes.ts';
import {
  type LadderSection,
  ladderStepStartSeconds,
  type Section,
  type SectionId,
  sectionOf,
} from '../tones/track.ts';
import { eachAround, MARGIN_SECONDS, sectionStartSeconds } from './around-section.ts';
import { measureNoise } from './disturbances/noise.ts';
import { measureLadder } from './ladders/ladder.ts';
import { withoutStruckSteps } from './ladders/struck-steps.ts';
import { recorderWatch } from './recorder/recorder-state.ts';
import { standardDeviation } from './standard-deviation.ts';
import { calmStretch } from './sweeps/calm-stretch.ts';
import { inParts, readShared } from './sweeps/section-memory.ts';
import { type ChannelResponses, measureTakeResponses, type SweepFaults } from './sweeps/take-responses.ts';
import { toneArrivalSeconds } from './sweeps/tone-arrival.ts';

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
 * @param channels counted from 0
 * @param recorderFloorDbFs each channel's own floor from a shorted take, null where there is none
 */
export function measureTake(of: {
  sound: Sound;
  take: Take;
  channels: readonly number[];
  recorderFloorDbFs: readonly (number | null)[];
}): TakeMeasurement {
  const { sound, take, channels } = of;
  const watches = channels.map(() => recorderWatch(sound.fullScaleStep));
  const responses = measureTakeResponses({ ...of, seen: (i, samples) => watches[i].see(samples) });
  const clockPpm = responses.clock?.ppm ?? 0;
  const ladders: LadderMeasurement[][] = channels.map(() => []);
  const knocks: Knock[][] = responses.faults.map((faults) => [...faults.knocks]);
  const announcements: Announcement[][] = responses.faults.map((faults) => [...faults.announcements]);
  for (const id of LADDER_IDS) {
    const ladder = sectionOf(take.track, 'ladder', id);
    if (ladder === undefined) continue;
    const around = { sound, take, section: ladder, clockPpm };
    eachAround(around, channels, ({ samples, startFrame }, channel, i) => {
      watches[i].see(samples[channel]);
      const whole = ladderOf({
        ladder,
        samples: samples[channel],
        startFrame,
        sound,
        take,
        clockPpm,
        responses: responses.channels[i],
      });
      const stepSeconds = ladder.cyclesPerStep / ladder.toneHz;
      const kept = withoutStruckSteps(whole, {
        stepSeconds,
        noiseAfter: noiseAfter(of, ladder, { ...whole, samples: samples[channel], startFrame, clockPpm }),
      });
      ladders[i].push(kept.ladder);
      const startOf = (step: number) => take.startSeconds + ladderStepStartSeconds(ladder, step);
      for (const step of kept.struck)
        knocks[i].push({ section: id, atSeconds: startOf(step), spoiltHz: null });
      for (const [first, last] of kept.covered)
        announcements[i].push({ section: id, fromSeconds: startOf(first), toSeconds: startOf(last + 1) });
    });
  }
  const longest = Math.max(0, ...take.track.sections.map(({ durationSeconds }) => durationSeconds));
  const noise = inParts(channels, longest * sound.sampleRateHz).flatMap((part) =>
    noiseOf(
      {
        ...of,
        channels: part.map((i) => channels[i]),
        recorderFloorDbFs: part.map((i) => of.recorderFloorDbFs[i]),
      },
      part.map((i) => responses.channels[i]),
      clockPpm,
    ),
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
      recorder: watches[i].state(clockPpm),
    })),
    faults: responses.faults.map((faults, i) => ({
      ...faults,
      knocks: knocks[i],
      announcements: announcements[i],
    })),
  };
}

function ladderOf(of: {
  ladder: LadderSection;
  samples: Float32Array;
  startFrame: number;
  sound: Sound;
  take: Take;
  clockPpm: number;
  responses: ChannelResponses;
}): LadderMeasurement {
  const both = [of.responses.left, of.responses.right];
  return measureLadder({
    ...of,
    sampleRateHz: of.sound.sampleRateHz,
    ladderStartSeconds:
      sectionStartSeconds(of, of.ladder) + withinMargin(toneArrivalSeconds(both, of.ladder.toneHz)),
    curve: magnitudeCurve(both),
  });
}

/**
 * Noise after the last step as `noiseAmplitude` of a step would have it; the lower of two readings, because what rings on
 * falls from one to the next.
 */
function noiseAfter(
  of: { sound: Sound; take: Take },
  ladder: LadderSection,
  {
    samples,
    startFrame,
    clockPpm,
    highestHarmonic,
  }: { samples: Float32Array; startFrame: number; clockPpm: number; highestHarmonic: number },
): number {
  const { sampleRateHz } = of.sound;
  const end =
    sectionStartSeconds({ ...of, clockPpm }, ladder) + ladder.durationSeconds * (1 + clockPpm * 1e-6);
  const parts = AFTER_SECONDS.slice(1).map((to, p) =>
    samples.subarray(
      Math.round((end + AFTER_SECONDS[p]) * sampleRateHz) - startFrame,
      Math.round((end + to) * sampleRateHz) - startFrame,
    ),
  );
  const length = Math.round((ladder.cyclesUsed / ladder.toneHz) * sampleRateHz);
  return Math.min(...parts.map(standardDeviation)) * Math.sqrt((4 * (highestHarmonic - 1)) / length);
}

/** Behind the ringing of most filters, within what is read. */
const AFTER_SECONDS = [0.06, 0.1, 0.14];

function withinMargin(seconds: number): number {
  return Math.max(-MARGIN_SECONDS, Math.min(MARGIN_SECONDS, seconds));
}

function noiseOf(
  of: {
    sound: Sound;
    take: Take;
    channels: readonly number[];
    recorderFloorDbFs: readonly (number | null)[];
  },
  responses: readonly ChannelResponses[],
  clockPpm: number,
): { measurement: NoiseMeasurement | null; knocks: Knock[]; announcements: Announcement[] }[] {
  const { sound, take, channels } = of;
  const quietTone = sectionOf(take.track, 'tones', 'quiet tone');
  const silence = sectionOf(take.track, 'silence', 'silence');
  if (quietTone === undefined || silence === undefined)
    return channels.map(() => ({ measurement: null, knocks: [], announcements: [] }));
  const inside = (section: Section, place: 'first' | 'second') => {
    const start = Math.round(
      (sectionStartSeconds({ sound, take, clockPpm }, section) + NOISE_EDGE_SECONDS) * sound.sampleRateHz,
    );
    const count = Math.round((section.durationSeconds - 2 * NOISE_EDGE_SECONDS) * sound.sampleRateHz);
    return {
      start,
      samples: readShared(sound, {
        place,
        start,
        count: Math.max(0, Math.min(count, sound.length - start)),
        channels,
      }),
    };
  };
  const quiet = inside(quietTone, 'first');
  const silent = inside(silence, 'second');
  const { sampleRateHz } = sound;
  const tonesHz = quietTone.tonesHz.map((hz) => hz / (1 + clockPpm * 1e-6));
  return channels.map((channel, i) => {
    const calm = [
      calmPart({ ...quiet, channel, section: quietTone.id, tonesHz, sampleRateHz }),
      calmPart({ ...silent, channel, section: silence.id, tonesHz: [], sampleRateHz }),
    ];
    const told = {
      knocks: calm.flatMap(({ knocks }) => knocks),
      announcements: calm.flatMap(({ announcements }) => announcements),
    };
    // A recording that was stopped early still has its responses.
    if (calm.some(({ samples }) => samples.length < sampleRateHz)) return { measurement: null, ...told };
    const measurement = measureNoise({
      underQuietTone: calm[0].samples,
      inSilence: calm[1].samples,
      tonesHz,
      sampleRateHz,
      left: responses[i].left,
      right: responses[i].right,
      recorderDbFs: of.recorderFloorDbFs[i],
    });
    return { measurement: isHeard(measurement) ? measurement : null, ...told };
  });
}

/** What is zero to the last bit, gated or too coarsely rounded, is no measurement of noise. */
function isHeard({ underQuietToneDbFs, underQuietToneADbFs, inSilenceDbFs }: NoiseMeasurement): boolean {
  return [underQuietToneDbFs, underQuietToneADbFs, inSilenceDbFs].every(Number.isFinite);
}

/** What of a section of noise nothing struck, and what struck the rest. */
function calmPart(of: {
  samples: readonly Float32Array[];
  channel: number;
  start: number;
  section: SectionId;
  tonesHz: readonly number[];
  sampleRateHz: number;
}): { samples: Float32Array; knocks: Knock[]; announcements: Announcement[] } {
  const samples = of.samples[of.channel];
  const { from, to, knocksAt, announcements } = calmStretch(samples, of);
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
