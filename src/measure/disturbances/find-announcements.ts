import { powerRatioOf } from '../../dsp/decibels.ts';
import { sweepTimeOf } from '../../dsp/sweep.ts';
import type { SweepPlan } from '../../dsp/sweep-plan.ts';
import { SECTION_LEAD_SECONDS } from '../../dsp/sweep-response.ts';
import type { SectionResponses } from '../sweeps/section-responses.ts';
import type { Burst } from './find-knocks.ts';
import { FRAME_SECONDS, frameEnergy } from './frame-energy.ts';

/** Shorter is a knock. */
export const SHORTEST_ANNOUNCEMENT_SECONDS = 0.3;
/** A voice pauses between words this long. */
export const PAUSE_SECONDS = 0.3;
/** Noise in frames of 10 ms stays within 3 dB of its usual energy (chi-square). */
const ABOVE_NOISE = powerRatioOf(12);
/** A gain that creeps during a sweep leaves less than this of it; a sound this weak moves no response by 0.3 dB. */
const LEAST_OF_ALL = powerRatioOf(-25);
/** Fainter than that and down to this it is not named, but counts as uncertainty: it would move a −3 dB point by a part in 500. */
const FAINTEST_OF_ALL = powerRatioOf(-50);
/** Below, a sweep rises from its fade, and a gain that creeps leaves more of it; nothing is read there that is used. */
const LOWEST_HZ = 25;
/** Harmonics of a radio that distorts come again in the other sweep of the same drive: what is no stronger than this is theirs. */
const ABOVE_OTHER_SWEEP = powerRatioOf(10);
/** The other sweep passes a frequency within this many frames of where it should. */
const OTHER_REACH_FRAMES = 3;
/** What is usual is this part of the frames, in order of energy: a voice may cover most of a short sweep. */
const USUAL_PART = 0.2;

/**
 * Chimes, voice prompts and talk in one channel of a sweep: sound that lasts, stands out of the noise, and is missing where
 * the other sweeps of that drive or more pass the same frequencies, so that it cannot be the radio's distortion.
 *
 * @returns stretches of the section, in samples; clear ones, and those too faint to be named
 */
export function announcementsInSweep(
  sweep: SectionResponses,
  i: number,
  others: readonly SectionResponses[],
): AnnouncementsInSweep {
  const theirs = others.map((other) => energies(other, i));
  const own = energies(sweep, i); // last: its residual is asked for again
  const noise = Math.min(...[own, ...theirs].map(({ residual }) => usualEnergy(residual)));
  const foreign = Array.from(own.residual, (value, f) => {
    const hz = frequencyIn(sweep.plan, f);
    if (hz < LOWEST_HZ || value <= ABOVE_NOISE * noise || value < FAINTEST_OF_ALL * own.all[f]) return false;
    const explained = others.map((other, o) => energyNear(theirs[o].residual, frameOf(other.plan, hz)));
    return value > ABOVE_OTHER_SWEEP * Math.max(...explained);
  });
  const runs = (are: readonly boolean[]) => lastingRuns(are, own.residual, sweep.plan.sampleRateHz);
  const loud = runs(foreign.map((is, f) => is && own.residual[f] >= LEAST_OF_ALL * own.all[f]));
  const isLoud = ({ from, to }: Burst) => loud.some((one) => from < one.to && to > one.from);
  const all = runs(foreign);
  const clear = [
    ...all.filter(isLoud),
    ...loud.filter((one) => !all.some((run) => one.from < run.to && one.to > run.from)),
  ];
  const faint = all.filter((run) => !isLoud(run));
  return { clear, faint };
}

export interface AnnouncementsInSweep {
  readonly clear: readonly Burst[];
  readonly faint: readonly Burst[];
}

export const NO_ANNOUNCEMENTS: AnnouncementsInSweep = { clear: [], faint: [] };

/**
 * The same for a stretch in which nothing but steady noise belongs. What stretches to its start may be a radio that only
 * then mutes, and what comes up slowly is a recorder's gain: it has to begin within, at once.
 *
 * @param residual samples without the track's tones
 */
export function announcementsInNoise(residual: Float64Array, sampleRateHz: number): Burst[] {
  const energy = frameEnergy(residual, sampleRateHz);
  const noise = usualEnergy(energy);
  const foreign = Array.from(energy, (value) => value > ABOVE_NOISE * noise);
  const frame = Math.round(FRAME_SECONDS * sampleRateHz);
  return lastingRuns(foreign, energy, sampleRateHz).filter(({ from }) => {
    const before = from / frame - ONSET_FRAMES;
    return before >= 0 && energy[before] < ABOVE_NOISE ** 0.5 * noise;
  });
}

/** From half of the threshold to all of it within this. */
const ONSET_FRAMES = 3;

/**
 * Whether the other sweeps hold about as much where they pass the same frequencies: a limiter, a compressor or a linked gain
 * that sets in, which a knock does not imitate twice.
 */
export function comesAgain(
  sweep: SectionResponses,
  i: number,
  { burst, others }: { burst: Burst; others: readonly SectionResponses[] },
): boolean {
  const frame = Math.round(FRAME_SECONDS * sweep.plan.sampleRateHz);
  const [from, to] = [Math.floor(burst.from / frame), Math.ceil(burst.to / frame)];
  const own = most(energies(sweep, i).residual, from, to);
  return others.some((other) => {
    const at = (place: number) => frameOf(other.plan, frequencyIn(sweep.plan, place));
    const first = Math.max(0, Math.round(at(from)) - OTHER_REACH_FRAMES);
    const again = most(energies(other, i).residual, first, Math.round(at(to)) + OTHER_REACH_FRAMES + 1);
    return own < ABOVE_OTHER_SWEEP * again;
  });
}

function most(energy: Float64Array, from: number, to: number): number {
  return energy.subarray(from, to).reduce((highest, value) => Math.max(highest, value), 0);
}

/** Energy of the frames, of all that was recorded and of what the sweep leaves. */
interface Energies {
  readonly all: Float64Array;
  readonly residual: Float64Array;
}

/** Each sweep is compared with others, one channel after the other: those of the last channel are kept. */
const kept = new WeakMap<SectionResponses, { i: number; energies: Energies }>();

function energies(sweep: SectionResponses, i: number): Energies {
  const known = kept.get(sweep);
  if (known?.i === i) return known.energies;
  const { sampleRateHz } = sweep.plan;
  const residual = frameEnergy(sweep.residual(i), sampleRateHz);
  const made = { all: frameEnergy(sweep.readAgain(i), sampleRateHz), residual };
  kept.set(sweep, { i, energies: made });
  return made;
}

/** Exact zeros, as at the blind ends of a residual, do not count; infinite where nothing was recorded. */
function usualEnergy(energy: Float64Array): number {
  const sorted = energy.filter((value) => value > 0).sort();
  return sorted.length === 0 ? Number.POSITIVE_INFINITY : sorted[Math.floor(USUAL_PART * sorted.length)];
}

function energyNear(energy: Float64Array, frame: number): number {
  const from = Math.max(0, Math.round(frame) - OTHER_REACH_FRAMES);
  return energy
    .subarray(from, from + 2 * OTHER_REACH_FRAMES + 1)
    .reduce((most, value) => Math.max(most, value), 0);
}

/** The frequency that a sweep passes in a frame of its section: its first and last outside of it. */
function frequencyIn({ sweep }: SweepPlan, frame: number): number {
  const part = ((frame + 0.5) * FRAME_SECONDS - SECTION_LEAD_SECONDS) / sweep.durationSeconds;
  return sweep.startHz * (sweep.endHz / sweep.startHz) ** Math.min(1, Math.max(0, part));
}

function frameOf({ sweep }: SweepPlan, hz: number): number {
  return (SECTION_LEAD_SECONDS + sweepTimeOf(sweep, hz)) / FRAME_SECONDS - 0.5;
}

/** A knock rings out, and what is taken from a sweep with it leaves traces around: both lie far below its peak. */
const OF_PEAK = powerRatioOf(-25);
/** Part of an announcement that is near its peak, pauses and soft sounds left out. */
const LOUD_PART = 0.4;

/** Runs of frames, joined over pauses, that last near their peak. */
function lastingRuns(foreign: readonly boolean[], energy: Float64Array, sampleRateHz: number): Burst[] {
  const pause = PAUSE_SECONDS / FRAME_SECONDS;
  const runs: [number, number][] = [];
  foreign.forEach((is, f) => {
    if (!is) return;
    const last = runs.at(-1);
    if (last !== undefined && f - last[1] <= pause) last[1] = f + 1;
    else runs.push([f, f + 1]);
  });
  const frame = Math.round(FRAME_SECONDS * sampleRateHz);
  return runs
    .filter(([from, to]) => {
      const inside = energy.subarray(from, to);
      const least = OF_PEAK * inside.reduce((most, value) => Math.max(most, value), 0);
      const first = inside.findIndex((value) => value > least);
      const span = inside.findLastIndex((value) => value > least) + 1 - first;
      const loud = inside.filter((value) => value > least).length;
      return span * FRAME_SECONDS > SHORTEST_ANNOUNCEMENT_SECONDS && loud > LOUD_PART * span;
    })
    .map(([from, to]) => ({ from: from * frame, to: to * frame }));
}
