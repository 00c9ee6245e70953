import type { Sound } from '../audio/sound.ts';
import { sweepTimeOf } from '../dsp/sweep.ts';
import {
  correctClock,
  planSweep,
  SECTION_LEAD_SECONDS,
  type SweepPlan,
  type SweepResponse,
  sweepResponse,
} from '../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { FrequencyResponse } from '../model/response.ts';
import { type ClockDifference, clockDifference } from '../takes/clock.ts';
import type { Take } from '../takes/find-takes.ts';
import { type SectionId, type SweepSection, sectionOf } from '../tones/track.ts';
import { frequencyResponse } from './trusted-band.ts';

/** Responses of every channel asked for in one take; all share the take's start as time zero, clocks corrected. */
export interface TakeResponses {
  readonly clock: ClockDifference | null;
  readonly channels: readonly ChannelResponses[];
}

export interface ChannelResponses {
  readonly left: FrequencyResponse;
  readonly right: FrequencyResponse;
  readonly bothLowDrive: FrequencyResponse | null;
}

/** Programme of the main sweeps, and the closing sweep that repeats it. */
const MAIN_SWEEPS = [
  { opening: 'sweep left', closing: 'closing left' },
  { opening: 'sweep right', closing: 'closing right' },
] as const;

/** A clock is judged by content from here up where there is any: below, phase turns too slowly. */
const CLOCK_WEIGHT_FROM_HZ = 300;

/** Start of a take in whole samples: sections start on whole samples of every usual rate, so no shift is left over. */
export function takeStartFrame(take: Take, sampleRateHz: number): number {
  return Math.round(take.startSeconds * sampleRateHz);
}

export function measureTakeResponses(of: {
  sound: Sound;
  take: Take;
  channels: readonly number[];
}): TakeResponses {
  const [left, right] = MAIN_SWEEPS.map(({ opening }) => rawResponses(of, opening)!);
  const low = rawResponses(of, 'sweep both low');
  const clock = clockOf(of, [left, right]);
  const corrected = (raw: RawResponses | null, channel: number) =>
    raw === null ? null : correctedResponse(raw, channel, clock?.ppm ?? 0);
  return {
    clock,
    channels: of.channels.map((_, i) => ({
      left: corrected(left, i)!,
      right: corrected(right, i)!,
      bothLowDrive: corrected(low, i),
    })),
  };
}

interface RawResponses {
  readonly section: SweepSection;
  readonly channels: readonly SweepResponse[];
}

function rawResponses(
  { sound, take, channels }: { sound: Sound; take: Take; channels: readonly number[] },
  id: SectionId,
): RawResponses | null {
  const section = sectionOf(take.track, 'sweep', id);
  if (section === undefined) return null;
  const plan = planFor(section, sound.sampleRateHz);
  const start =
    takeStartFrame(take, sound.sampleRateHz) +
    Math.round((section.startSeconds - SECTION_LEAD_SECONDS) * sound.sampleRateHz);
  const samples = sound.readSection({ start, count: plan.sectionLength });
  return { section, channels: channels.map((channel) => sweepResponse(plan, samples[channel])) };
}

/** From the channel and programme that say most about the clock. */
function clockOf(
  of: { sound: Sound; take: Take; channels: readonly number[] },
  openings: readonly RawResponses[],
): ClockDifference | null {
  const candidates = openings.flatMap((opening, side) =>
    opening.channels.map((response, i) => ({ opening, side, i, response, worth: clockWorth(response) })),
  );
  const best = candidates.reduce((a, b) => (b.worth > a.worth ? b : a));
  const closing = rawResponses({ ...of, channels: [of.channels[best.i]] }, MAIN_SWEEPS[best.side].closing);
  if (closing === null) return null;
  const passes = ({ section }: RawResponses, hz: number) =>
    section.startSeconds + sweepTimeOf(section.sweep, hz);
  return clockDifference({
    frequencyHz: gridFrequencyHz,
    opening: best.response,
    closing: closing.channels[0],
    secondsBetween: gridFrequencyHz.map((hz) => passes(closing, hz) - passes(best.opening, hz)),
  });
}

/** Information on delay, up to a common factor: sum of f^2 SNR^2; content below CLOCK_WEIGHT_FROM_HZ hardly counts by itself. */
function clockWorth({ real, imag, sigma }: SweepResponse): number {
  let worth = 0;
  gridFrequencyHz.forEach((hz, i) => {
    const snr = Math.min(1e4, (real[i] ** 2 + imag[i] ** 2) / (sigma[i] ** 2 + 1e-30));
    if (snr > 100) worth += snr * (hz / CLOCK_WEIGHT_FROM_HZ) ** 2;
  });
  return worth;
}

function correctedResponse(
  { section, channels }: RawResponses,
  channel: number,
  ppm: number,
): FrequencyResponse {
  const { sweep, startSeconds } = section;
  const clock = { frequencyHz: gridFrequencyHz, sweep, sectionStartSeconds: startSeconds, ppm };
  return frequencyResponse(correctClock(channels[channel], clock));
}

const plans = new Map<string, SweepPlan>();

/** Plans are the same for every recording of one rate. */
function planFor({ sweep, driveDbFs }: SweepSection, sampleRateHz: number): SweepPlan {
  const key = `${sampleRateHz} ${driveDbFs} ${sweep.durationSeconds}`;
  let plan = plans.get(key);
  if (plan === undefined) {
    plan = planSweep({
      sweep,
      driveAmplitude: 10 ** (driveDbFs / 20),
      sampleRateHz,
      frequencyHz: gridFrequencyHz,
    });
    plans.set(key, plan);
  }
  return plan;
}
