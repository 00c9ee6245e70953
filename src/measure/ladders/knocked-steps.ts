import { ratioOf } from '../../dsp/decibels.ts';
import { median } from '../../dsp/statistics.ts';
import type { LadderMeasurement, LadderStep } from '../../model/measurement.ts';
import { PAUSE_SECONDS, SHORTEST_ANNOUNCEMENT_SECONDS } from '../disturbances/find-announcements.ts';

/** Noise of a step against that of its neighbours: clipping raises it from one step on, a knock in one step alone. */
const KNOCKED_FACTOR = 5;
const NEIGHBOURS = 3;
/** What lasts is heard beside the tone: a codec's noise, which comes and goes with the step, stays below (AAC: 0.2 %). */
const LASTING_THD_NOISE = 0.005;
/** What was heard from before the first step on ends at once, within two steps; the noise of a recorder's own gain fades. */
const AT_ONCE_FACTOR = 3;
/** Noise that goes on after the last step is no clipping, if it stays this much of what it was. */
const GOES_ON = 0.5;

/** The ladder without the steps during which the bench was knocked or something was said. */
export interface KeptSteps {
  readonly ladder: LadderMeasurement;
  /** Places in the whole ladder. */
  readonly knocked: readonly number[];
  /** First and last step of what lasted. */
  readonly disturbed: readonly (readonly [number, number])[];
}

/** @param noiseAfter RMS of the channel after the last step, as `noiseAmplitude` of a step would have it */
export function withoutKnockedSteps(
  ladder: LadderMeasurement,
  { stepSeconds, noiseAfter }: { stepSeconds: number; noiseAfter: number },
): KeptSteps {
  const noise = ladder.steps.map(noiseAmplitude);
  const places = noise.map((_, i) => i);
  const heard = places.filter(
    (i) => ladder.steps[i].thdNoise > LASTING_THD_NOISE && isHeard(noise, i, noiseAfter),
  );
  const runs = joined(heard, Math.ceil(PAUSE_SECONDS / stepSeconds));
  const lasts = ([first, last]: readonly [number, number]) =>
    (last - first + 1) * stepSeconds > SHORTEST_ANNOUNCEMENT_SECONDS;
  // The steps beside it hold its beginning and end.
  const disturbed = runs.filter(lasts).map(([first, last]) => [first - 1, last + 1] as const);
  const isDisturbed = (i: number) => disturbed.some(([first, last]) => i >= first && i <= last);
  const alone = places.filter((i) => !isDisturbed(i) && isKnocked(noise, i));
  return {
    ladder: { ...ladder, steps: ladder.steps.filter((_, i) => !isDisturbed(i) && !alone.includes(i)) },
    knocked: alone,
    disturbed,
  };
}

function noiseAmplitude({ thdNoise, levelDbFs }: LadderStep): number {
  return thdNoise * ratioOf(levelDbFs);
}

/** Neither the first nor the last step can be told from what lies beyond it. */
function isKnocked(noise: readonly number[], i: number): boolean {
  const before = medianOrNone(noise.slice(Math.max(0, i - NEIGHBOURS), i));
  const after = medianOrNone(noise.slice(i + 1, i + 1 + NEIGHBOURS));
  return before !== null && after !== null && noise[i] > KNOCKED_FACTOR * Math.max(before, after);
}

/** Whether a step belongs to what was heard for a while: noise is lower before it and after it, however long that takes. */
function isHeard(noise: readonly number[], i: number, noiseAfter: number): boolean {
  const before = lowestMedian(noise.slice(0, i));
  const after = lowestMedian(noise.slice(i + 1));
  const standsOut = (usual: number | null) => usual !== null && noise[i] > KNOCKED_FACTOR * usual;
  if (standsOut(after)) return standsOut(before) || endsAtOnce(noise, i);
  return standsOut(before) && noiseAfter > GOES_ON * noise[i];
}

function endsAtOnce(noise: readonly number[], i: number): boolean {
  const end = noise.findIndex((value, k) => k > i && noise[i] > KNOCKED_FACTOR * value);
  return end > 0 && noise[Math.max(i, end - 2)] > AT_ONCE_FACTOR * noise[end];
}

/** Lowest of the medians of neighbours: one lucky step is none. */
function lowestMedian(values: readonly number[]): number | null {
  const count = Math.max(1, values.length - NEIGHBOURS + 1);
  const medians = Array.from({ length: count }, (_, i) => medianOrNone(values.slice(i, i + NEIGHBOURS)));
  return medians.reduce((low, one) => (low === null || (one !== null && one < low) ? one : low), null);
}

function medianOrNone(values: readonly number[]): number | null {
  return values.length === 0 ? null : median(values);
}

/** Runs of places, joined where no more than `gap` lie between. */
function joined(places: readonly number[], gap: number): [number, number][] {
  const runs: [number, number][] = [];
  for (const place of places) {
    const last = runs.at(-1);
    if (last !== undefined && place - last[1] <= gap) last[1] = place;
    else runs.push([place, place]);
  }
  return runs;
}
