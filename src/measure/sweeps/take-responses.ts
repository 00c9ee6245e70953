import type { SweepResponse } from '../../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { Measured } from '../../model/measured.ts';
import { type FrequencyResponse, type MagnitudeCurve, magnitudeCurve } from '../../model/response.ts';
import { type ClockDifference, clockDifference } from '../../takes/clock.ts';
import { CONTINUOUS, type Continuity } from '../../takes/continuity.ts';
import { type SectionId, type SweepSection, sectionOf } from '../../tones/track.ts';
import { gainChangeDb, snr, withUnsteadyGain } from '../disturbances/gain-change.ts';
import { lacksLeadIn } from '../disturbances/lead-in-gain.ts';
import { mutedUpToHz, withoutMuted } from '../disturbances/muted-start.ts';
import type { Sweeps } from '../disturbances/noisy-sections.ts';
import type { TakeReader } from '../take-reader.ts';
import { type CleanedSweeps, cleanedSweeps } from './cleaned-sweeps.ts';
import { correctedResponse } from './corrected-response.ts';
import { withinRecording } from './cut-sweep.ts';
import { filledIn } from './filled-in.ts';
import { medianLevelDbFs } from './median-level.ts';
import { secondsBetween } from './seconds-between.ts';
import { sectionResponses } from './section-response.ts';
import type { SectionResponses } from './section-responses.ts';
import { takeContinuity } from './take-continuity.ts';
import { frequencyResponse } from './trusted-band.ts';

/** Responses of every channel asked for in one take; all share the take's start as time zero, clocks corrected. */
interface TakeResponses {
  readonly clock: ClockDifference | null;
  readonly channels: readonly ChannelResponses[];
  /** What went wrong in the sweeps of each channel. */
  readonly faults: readonly SweepFaults[];
  readonly continuity: Continuity;
}

export interface ChannelResponses {
  readonly left: FrequencyResponse;
  readonly right: FrequencyResponse;
  readonly bothLowDrive: FrequencyResponse | null;
}

export interface SweepFaults {
  /** Median level of each programme where it stands clear of the noise, by the opening or else the closing sweep, dBFS. */
  readonly levelsDbFs: { readonly left: number | null; readonly right: number | null };
  readonly knocks: CleanedSweeps['knocks'];
  readonly announcements: CleanedSweeps['announcements'];
  /** From the opening to the closing sweep; null where the channel carries neither programme. */
  readonly gainChangeDb: Measured | null;
  readonly mutedUpToHz: number | null;
}

/** Programme of the main sweeps, and the closing sweep that repeats it. */
const MAIN_SWEEPS = [
  { opening: 'sweep left', closing: 'closing left' },
  { opening: 'sweep right', closing: 'closing right' },
] as const;

/** A clock is judged by content from here up where there is any: below, phase turns too slowly. */
const CLOCK_WEIGHT_FROM_HZ = 300;
/** @param seen shown every sample of the sweeps, by place in the reader's channels */
export function measureTakeResponses(
  reader: TakeReader,
  seen?: (i: number, samples: Float32Array) => void,
): TakeResponses {
  const { take, length } = reader;
  const read = (id: SectionId) => {
    const section = sectionOf(take.track, 'sweep', id);
    return section === undefined ? null : sectionResponses(reader, section, seen);
  };
  const whole = (pair: readonly SectionResponses[]) =>
    pair.map((sweep, side) => withinRecording(sweep, { twin: pair[1 - side], length }));
  const openings = whole(MAIN_SWEEPS.map(({ opening }) => read(opening)!));
  const closings = whole(MAIN_SWEEPS.map(({ closing }) => read(closing)!));
  const low = read('sweep both low');
  const sweeps = { openings, closings, low };
  const cleaned = reader.channels.map((_, i) => cleanedSweeps(sweeps, i));
  const clock = clockOf(sweeps, cleaned, take.missing);
  const timed = reader.withClock(clock?.ppm ?? 0);
  const channels = cleaned.map((one, i) =>
    channelOf(sweeps, one, timed.clockPpm, (curve) => lacksLeadIn(timed, { i, curve })),
  );
  return {
    clock,
    channels: channels.map(({ responses }) => responses),
    faults: channels.map(({ faults }) => faults),
    continuity:
      clock === null
        ? CONTINUOUS
        : takeContinuity(sweeps, cleaned, {
            ppm: timed.clockPpm,
            missing: take.missing,
            sampleRateHz: reader.sampleRateHz,
          }),
  };
}

function channelOf(
  sections: Sweeps,
  sweeps: CleanedSweeps,
  ppm: number,
  lacking: (curve: MagnitudeCurve) => boolean,
): { responses: ChannelResponses; faults: SweepFaults } {
  const { knocks, announcements } = sweeps;
  const pairs = sweeps.closings.map((closing, side) => ({ opening: sweeps.openings[side], closing }));
  const change = pairs
    .flatMap((pair) => gainChangeDb(pair) ?? [])
    .reduce<Measured | null>(
      (worst, one) => (worst === null || Math.abs(one.value) > Math.abs(worst.value) ? one : worst),
      null,
    );
  const corrected = (section: SweepSection, response: SweepResponse) =>
    correctedResponse(section, withUnsteadyGain(response, change), ppm);
  const opened = () =>
    pairs.map(({ opening }, side) => frequencyResponse(corrected(sections.openings[side].section, opening)));
  const muted = mutedUpToHz({ ...pairs[0], lacksLeadIn: () => lacking(magnitudeCurve(opened())) });
  const responses = pairs.map(({ opening, closing }, side) => {
    const audible = side === 0 && muted !== null ? withoutMuted(opening, muted) : opening;
    const [{ section }, other] = [sections.openings[side], sections.closings[side]];
    const spoilt = announcements.filter((one) => one.section === section.id);
    return frequencyResponse(
      spoilt.length === 0
        ? corrected(section, audible)
        : filledIn(corrected(section, audible), corrected(other.section, closing), spoilt),
    );
  });
  const [left, right] = pairs.map(
    ({ opening, closing }) => medianLevelDbFs(opening) ?? medianLevelDbFs(closing),
  );
  return {
    responses: {
      left: responses[0],
      right: responses[1],
      bothLowDrive:
        sections.low === null || sweeps.low === null
          ? null
          : frequencyResponse(corrected(sections.low.section, sweeps.low)),
    },
    faults: { levelsDbFs: { left, right }, knocks, announcements, gainChangeDb: change, mutedUpToHz: muted },
  };
}

/** From the channel and programme that say most about the clock; sweeps that were not heard as a whole say little. */
function clockOf(
  { openings, closings }: Sweeps,
  cleaned: readonly CleanedSweeps[],
  missing: readonly string[],
): ClockDifference | null {
  const all = openings.flatMap((opening, side) =>
    cleaned.map((channel) => {
      const response = channel.openings[side];
      return { opening, side, channel, response, worth: clockWorth(response, channel.closings[side]) };
    }),
  );
  const heard = all.filter(({ opening, side }) =>
    [opening, closings[side]].every(({ section }) => !missing.includes(section.id)),
  );
  const best = (heard.length > 0 ? heard : all).reduce((a, b) => (b.worth > a.worth ? b : a));
  const closing = closings[best.side];
  return clockDifference({
    frequencyHz: gridFrequencyHz,
    opening: best.response,
    closing: best.channel.closings[best.side],
    secondsBetween: secondsBetween({ earlier: best.opening, later: closing }),
  });
}

/**
 * Information on delay, up to a common factor: sum of f^2 SNR^2 where the closing sweep is heard too; content below
 * CLOCK_WEIGHT_FROM_HZ hardly counts by itself.
 */
function clockWorth(opening: SweepResponse, closing: SweepResponse): number {
  let worth = 0;
  gridFrequencyHz.forEach((hz, i) => {
    const power = Math.min(
      1e4,
      (opening.real[i] ** 2 + opening.imag[i] ** 2) / (opening.sigma[i] ** 2 + 1e-30),
    );
    if (power > 100 && snr(closing, i) > HEARD) worth += power * (hz / CLOCK_WEIGHT_FROM_HZ) ** 2;
  });
  return worth;
}

/** Times the noise, in amplitude: 9.5 dB (chosen here; a clock weighs by the noise anyway). */
const HEARD = 3;
