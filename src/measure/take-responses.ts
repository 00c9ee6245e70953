import type { Sound } from '../audio/sound.ts';
import { correctClock } from '../dsp/correct-clock.ts';
import { sweepTimeOf } from '../dsp/sweep.ts';
import type { SweepResponse } from '../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { Measured } from '../model/measured.ts';
import type { FrequencyResponse } from '../model/response.ts';
import { type ClockDifference, clockDifference } from '../takes/clock.ts';
import type { Take } from '../takes/find-takes.ts';
import { type SectionId, type SweepSection, sectionOf } from '../tones/track.ts';
import { gainChangeDb, withUnsteadyGain } from './gain-change.ts';
import { medianDb } from './median-level.ts';
import { mutedUpToHz, withoutMuted } from './muted-start.ts';
import {
  noiseBesideSweep,
  type SectionResponses,
  type SweepKnock,
  sectionResponses,
  withoutKnocks,
} from './section-response.ts';
import { frequencyResponse } from './trusted-band.ts';

/** Responses of every channel asked for in one take; all share the take's start as time zero, clocks corrected. */
export interface TakeResponses {
  readonly clock: ClockDifference | null;
  readonly channels: readonly ChannelResponses[];
  /** What went wrong in the sweeps of each channel. */
  readonly faults: readonly SweepFaults[];
}

export interface ChannelResponses {
  readonly left: FrequencyResponse;
  readonly right: FrequencyResponse;
  readonly bothLowDrive: FrequencyResponse | null;
}

export interface SweepFaults {
  /** Median level of each programme where it stands clear of the noise, by the opening or else the closing sweep, dBFS. */
  readonly levelsDbFs: { readonly left: number | null; readonly right: number | null };
  readonly knocks: readonly (SweepKnock & { readonly section: SectionId })[];
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
/** A sweep with this much more noise beside it than the quietest of the take is looked through for knocks. */
const NOISIER_BY = 1.25;
/** Parts of the band that are compared for it: thumps are low, clicks are high. */
const NOISE_BANDS_HZ = [
  [20, 300],
  [300, 3000],
  [3000, 18_000],
] as const;

/** @param seen shown every sample of the sweeps, by place in `channels` */
export function measureTakeResponses(of: {
  sound: Sound;
  take: Take;
  channels: readonly number[];
  seen?: (i: number, samples: Float32Array) => void;
}): TakeResponses {
  const read = (id: SectionId) => {
    const section = sectionOf(of.take.track, 'sweep', id);
    return section === undefined ? null : sectionResponses(of, section);
  };
  const openings = MAIN_SWEEPS.map(({ opening }) => read(opening)!);
  const closings = MAIN_SWEEPS.map(({ closing }) => read(closing)!);
  const low = read('sweep both low');
  const clock = clockOf(openings, closings);
  const ppm = clock?.ppm ?? 0;
  const channels = of.channels.map((_, i) => channelOf({ i, openings, closings, low, ppm }));
  return {
    clock,
    channels: channels.map(({ responses }) => responses),
    faults: channels.map(({ faults }) => faults),
  };
}

interface Sweeps {
  readonly openings: readonly SectionResponses[];
  readonly closings: readonly SectionResponses[];
  readonly low: SectionResponses | null;
}

function channelOf({ i, openings, closings, low, ppm }: Sweeps & { i: number; ppm: number }): {
  responses: ChannelResponses;
  faults: SweepFaults;
} {
  const measured = [...openings, ...(low === null ? [] : [low])];
  const noisy = noisySections(measured, closings, i);
  const knocks: SweepFaults['knocks'][number][] = [];
  const cleaned = measured.map((sweep) => {
    const response = sweep.channels[i];
    const found = noisy.includes(sweep) && carriesSomething(response) ? withoutKnocks(sweep, i) : null;
    knocks.push(...(found?.knocks ?? []).map((knock) => ({ ...knock, section: sweep.section.id })));
    return found?.response ?? response;
  });
  const pairs = closings.map((closing, side) => ({ opening: cleaned[side], closing: closing.channels[i] }));
  const change = pairs
    .flatMap((pair) => gainChangeDb(pair) ?? [])
    .reduce<Measured | null>(
      (worst, one) => (worst === null || Math.abs(one.value) > Math.abs(worst.value) ? one : worst),
      null,
    );
  const muted = mutedUpToHz(pairs[0]);
  const responses = cleaned.map((response, s) => {
    const audible = s === 0 && muted !== null ? withoutMuted(response, muted) : response;
    return correctedResponse(measured[s].section, withUnsteadyGain(audible, change), ppm);
  });
  const [left, right] = pairs.map(
    ({ opening, closing }) => medianLevelDbFs(opening) ?? medianLevelDbFs(closing),
  );
  return {
    responses: { left: responses[0], right: responses[1], bothLowDrive: responses[2] ?? null },
    faults: { levelsDbFs: { left, right }, knocks, gainChangeDb: change, mutedUpToHz: muted },
  };
}

/** Median magnitude of a response where it can be trusted; null where nowhere. */
function medianLevelDbFs(response: SweepResponse): number | null {
  const { trustedHz } = frequencyResponse(response);
  return trustedHz === null ? null : medianDb({ ...response, trustedHz });
}

/** Sweeps beside which there is more noise than beside the quietest sweep of the take, in any part of the band. */
function noisySections(
  measured: readonly SectionResponses[],
  closings: readonly SectionResponses[],
  i: number,
): SectionResponses[] {
  const densities = [...measured, ...closings].map((sweep) => {
    const noise = noiseBesideSweep(sweep, i);
    return NOISE_BANDS_HZ.map((band) => medianWithin(noise, band));
  });
  const quietest = NOISE_BANDS_HZ.map((_, b) => Math.min(...densities.map((bands) => bands[b])));
  return measured.filter((_, s) => densities[s].some((noise, b) => noise > NOISIER_BY * quietest[b]));
}

function medianWithin(values: Float64Array, [low, high]: readonly [number, number]): number {
  const inside = values.filter((_, k) => gridFrequencyHz[k] >= low && gridFrequencyHz[k] <= high).sort();
  return inside[inside.length >> 1];
}

function carriesSomething({ real, imag, sigma }: SweepResponse): boolean {
  return frequencyResponse({ real, imag, sigma }).trustedHz !== null;
}

/** From the channel and programme that say most about the clock. */
function clockOf(
  openings: readonly SectionResponses[],
  closings: readonly SectionResponses[],
): ClockDifference | null {
  const candidates = openings.flatMap((opening, side) =>
    opening.channels.map((response, i) => ({ opening, side, i, response, worth: clockWorth(response) })),
  );
  const best = candidates.reduce((a, b) => (b.worth > a.worth ? b : a));
  const closing = closings[best.side];
  const passes = ({ section }: SectionResponses, hz: number) =>
    section.startSeconds + sweepTimeOf(section.sweep, hz);
  return clockDifference({
    frequencyHz: gridFrequencyHz,
    opening: best.response,
    closing: closing.channels[best.i],
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
  { sweep, startSeconds }: SweepSection,
  response: SweepResponse,
  ppm: number,
): FrequencyResponse {
  const clock = { frequencyHz: gridFrequencyHz, sweep, sectionStartSeconds: startSeconds, ppm };
  return frequencyResponse(correctClock(response, clock));
}
