import type { Sound } from '../audio/sound.ts';
import type { LadderMeasurement, NoiseMeasurement, RecorderState } from '../model/measurement.ts';
import { type FrequencyResponse, isWithin, magnitudeCurve } from '../model/response.ts';
import type { ClockDifference } from '../takes/clock.ts';
import type { Take } from '../takes/find-takes.ts';
import { type LadderSection, type Section, sectionOf } from '../tones/track.ts';
import { groupDelaySeconds } from './group-delay.ts';
import { measureLadder } from './ladder.ts';
import { measureNoise } from './noise.ts';
import { recorderWatch } from './recorder-state.ts';
import { type ChannelResponses, measureTakeResponses, takeStartFrame } from './take-responses.ts';

export interface TakeMeasurement {
  readonly clock: ClockDifference | null;
  readonly channels: readonly ChannelMeasurement[];
}

export interface ChannelMeasurement extends ChannelResponses {
  readonly ladders: readonly LadderMeasurement[];
  readonly noise: NoiseMeasurement | null;
  readonly recorder: RecorderState;
}

const LADDER_IDS = ['ladder bass', 'ladder middle', 'ladder treble'] as const;
/** A section is read with this much around it: taps are late by a few milliseconds, clocks by less. */
const MARGIN_SECONDS = 0.15;
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
  const responses = measureTakeResponses(of);
  const clockPpm = responses.clock?.ppm ?? 0;
  const watches = channels.map(() => recorderWatch(sound.fullScaleStep));
  const ladders: LadderMeasurement[][] = channels.map(() => []);
  for (const id of LADDER_IDS) {
    const ladder = sectionOf(take.track, 'ladder', id);
    if (ladder === undefined) continue;
    const { samples, startFrame } = readAround({ sound, take, section: ladder, clockPpm });
    channels.forEach((channel, i) => {
      watches[i].see(samples[channel]);
      ladders[i].push(
        ladderOf({
          ladder,
          samples: samples[channel],
          startFrame,
          sound,
          take,
          clockPpm,
          responses: responses.channels[i],
        }),
      );
    });
  }
  const noise = noiseOf(of, responses.channels, clockPpm);
  return {
    clock: responses.clock,
    channels: responses.channels.map((response, i) => ({
      ...response,
      ladders: ladders[i],
      noise: noise[i],
      recorder: watches[i].state(clockPpm),
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
    ladderStartSeconds: sectionStartSeconds(of, of.ladder) + arrivalSeconds(both, of.ladder.toneHz),
    curve: magnitudeCurve(both),
  });
}

/** When a tone of the track arrives, against the take's start; 0 where the tap does not carry it. */
function arrivalSeconds(responses: readonly FrequencyResponse[], toneHz: number): number {
  const carried = responses.filter(({ trustedHz }) => trustedHz !== null && isWithin(trustedHz, toneHz));
  const delay = carried.length === 0 ? 0 : groupDelaySeconds(carried, toneHz);
  return Math.max(-MARGIN_SECONDS, Math.min(MARGIN_SECONDS, delay));
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
): (NoiseMeasurement | null)[] {
  const { sound, take, channels } = of;
  const quietTone = sectionOf(take.track, 'tones', 'quiet tone');
  const silence = sectionOf(take.track, 'silence', 'silence');
  if (quietTone === undefined || silence === undefined) return channels.map(() => null);
  const inside = (section: Section) => {
    const start = Math.round(
      (sectionStartSeconds({ sound, take, clockPpm }, section) + NOISE_EDGE_SECONDS) * sound.sampleRateHz,
    );
    const count = Math.round((section.durationSeconds - 2 * NOISE_EDGE_SECONDS) * sound.sampleRateHz);
    return sound.readSection({ start, count: Math.min(count, sound.length - start) });
  };
  const quietSamples = inside(quietTone);
  const silentSamples = inside(silence);
  // A recording that was stopped early still has its responses.
  if (quietSamples[0].length < sound.sampleRateHz || silentSamples[0].length < sound.sampleRateHz)
    return channels.map(() => null);
  return channels.map((channel, i) =>
    measureNoise({
      underQuietTone: quietSamples[channel],
      inSilence: silentSamples[channel],
      tonesHz: quietTone.tonesHz,
      sampleRateHz: sound.sampleRateHz,
      left: responses[i].left,
      right: responses[i].right,
      recorderDbFs: of.recorderFloorDbFs[i],
    }),
  );
}

function readAround(of: { sound: Sound; take: Take; section: Section; clockPpm: number }): {
  samples: Float32Array[];
  startFrame: number;
} {
  const { sound, section } = of;
  const startFrame = Math.round((sectionStartSeconds(of, section) - MARGIN_SECONDS) * sound.sampleRateHz);
  const count = Math.ceil(
    (section.durationSeconds * (1 + of.clockPpm * 1e-6) + 2 * MARGIN_SECONDS) * sound.sampleRateHz,
  );
  return { samples: sound.readSection({ start: startFrame, count }), startFrame };
}

/** Start of a section in the recording, by the recorder's clock. */
function sectionStartSeconds(of: { sound: Sound; take: Take; clockPpm: number }, section: Section): number {
  return (
    takeStartFrame(of.take, of.sound.sampleRateHz) / of.sound.sampleRateHz +
    section.startSeconds * (1 + of.clockPpm * 1e-6)
  );
}
