import type { NoiseMeasurement } from '../../model/measurement.ts';
import { type Section, type SectionId, sectionOf } from '../../tones/track.ts';
import type { ChannelResponses } from '../sweeps/take-responses.ts';
import { undisturbedStretch } from '../sweeps/undisturbed-stretch.ts';
import type { TakeReader } from '../take-reader.ts';
import type { Disturbances } from './disturbance.ts';
import { measureNoise } from './noise.ts';

/** Fades of the quiet tone, and a mute that takes its time to close. */
const NOISE_EDGE_SECONDS = 0.45;

interface ChannelNoise extends Disturbances {
  /** Null where the track has no quiet tone, too little of it is there, or nothing is heard in it. */
  readonly measurement: NoiseMeasurement | null;
}

interface NoiseOf {
  readonly recorderFloorDbFs: readonly (number | null)[];
  readonly responses: readonly ChannelResponses[];
}

/** The noise of every channel under the quiet tone and in silence, read in parts that fit in memory. */
export function takeNoise(reader: TakeReader, { recorderFloorDbFs, responses }: NoiseOf): ChannelNoise[] {
  const longest = Math.max(0, ...reader.take.track.sections.map(({ durationSeconds }) => durationSeconds));
  return reader.parts(longest * reader.sampleRateHz).flatMap((places) =>
    noiseOf(reader.only(places), {
      recorderFloorDbFs: places.map((i) => recorderFloorDbFs[i]),
      responses: places.map((i) => responses[i]),
    }),
  );
}

function noiseOf(reader: TakeReader, of: NoiseOf): ChannelNoise[] {
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

/** A section without NOISE_EDGE_SECONDS at its ends, as far as the recording goes. */
function readInside(reader: TakeReader, section: Section): { samples: Float32Array[]; start: number } {
  const { sampleRateHz, length } = reader;
  const start = Math.round((reader.startSecondsOf(section) + NOISE_EDGE_SECONDS) * sampleRateHz);
  const count = Math.round((section.durationSeconds - 2 * NOISE_EDGE_SECONDS) * sampleRateHz);
  return { samples: reader.read({ start, count: Math.max(0, Math.min(count, length - start)) }), start };
}

/** What of a section of noise nothing struck, and what struck the rest. */
function undisturbedPart(
  samples: Float32Array,
  of: { start: number; section: SectionId; tonesHz: readonly number[]; sampleRateHz: number },
): { samples: Float32Array } & Disturbances {
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

/** What is zero to the last bit, gated or too coarsely rounded, is no measurement of noise. */
function isHeard({ underQuietToneDbFs, underQuietToneADbFs, inSilenceDbFs }: NoiseMeasurement): boolean {
  return [underQuietToneDbFs, underQuietToneADbFs, inSilenceDbFs].every(Number.isFinite);
}
