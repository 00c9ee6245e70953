import { standardDeviation } from '../../dsp/statistics.ts';
import type { LadderMeasurement } from '../../model/measurement.ts';
import { type FrequencyResponse, type MagnitudeCurve, magnitudeCurve } from '../../model/response.ts';
import { type LadderSection, ladderStepStartSeconds, sectionOf } from '../../tones/track.ts';
import { eachAround, MARGIN_SECONDS } from '../around-section.ts';
import type { Disturbances } from '../disturbances/disturbance.ts';
import type { ChannelResponses } from '../sweeps/take-responses.ts';
import { toneArrivalSeconds } from '../sweeps/tone-arrival.ts';
import type { TakeReader } from '../take-reader.ts';
import { type KeptSteps, withoutKnockedSteps } from './knocked-steps.ts';
import { measureLadder } from './ladder.ts';

const LADDER_IDS = ['ladder bass', 'ladder middle', 'ladder treble'] as const;
/** Behind the ringing of most filters, within what is read. */
const AFTER_SECONDS = [0.06, 0.1, 0.14];

interface ChannelLadders extends Disturbances {
  readonly ladders: readonly LadderMeasurement[];
}

/**
 * The ladders of every channel, without the steps that a knock or a voice spoilt.
 *
 * @param reader with the take's clock
 * @param seen shown every sample of the ladders, by place in the reader's channels
 */
export function takeLadders(
  reader: TakeReader,
  responses: readonly ChannelResponses[],
  seen: (i: number, samples: Float32Array) => void,
): ChannelLadders[] {
  const both = responses.map(({ left, right }) => ({
    responses: [left, right],
    curve: magnitudeCurve([left, right]),
  }));
  const found = responses.map((): { section: LadderSection; kept: KeptSteps }[] => []);
  for (const id of LADDER_IDS) {
    const section = sectionOf(reader.take.track, 'ladder', id);
    if (section === undefined) continue;
    eachAround(reader, section, (read, i) => {
      seen(i, read.samples);
      const whole = ladderOf(reader, section, { ...read, ...both[i] });
      const kept = withoutKnockedSteps(whole, {
        stepSeconds: section.cyclesPerStep / section.toneHz,
        noiseAfter: noiseAfter(reader, section, { ...read, highestHarmonic: whole.highestHarmonic }),
      });
      found[i].push({ section, kept });
    });
  }
  return found.map((ladders) => ({
    ladders: ladders.map(({ kept }) => kept.ladder).filter(({ steps }) => steps.length > 0),
    ...joined(ladders.map(({ kept, section }) => disturbancesIn(reader, section, kept))),
  }));
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

function withinMargin(seconds: number): number {
  return Math.max(-MARGIN_SECONDS, Math.min(MARGIN_SECONDS, seconds));
}

function disturbancesIn({ take }: TakeReader, section: LadderSection, kept: KeptSteps): Disturbances {
  const startOf = (step: number) => take.startSeconds + ladderStepStartSeconds(section, step);
  return {
    knocks: kept.knocked.map((step) => ({ section: section.id, atSeconds: startOf(step), spoiltHz: null })),
    announcements: kept.disturbed.map(([first, last]) => ({
      section: section.id,
      fromSeconds: startOf(first),
      toSeconds: startOf(last + 1),
    })),
  };
}

function joined(all: readonly Disturbances[]): Disturbances {
  return {
    knocks: all.flatMap(({ knocks }) => knocks),
    announcements: all.flatMap(({ announcements }) => announcements),
  };
}
