import { clippedSineHarmonic, clipRatioForThd } from '../dsp/clip-distortion.ts';
import { decibels, ratioOf } from '../dsp/decibels.ts';
import { limiterResponse } from './bass-limiter.ts';
import type { Scenario } from './scenario.ts';
import { fixedFilters, volumeDependentFilters } from './tap-filters.ts';
import { pairVoltsRms, routingOf } from './tap-levels.ts';
import { samplesPerTrackSecond } from './tap-signal.ts';
import { filterResponse, type TapAtSetting, tapOf } from './true-response.ts';

export interface TrueClipOnset {
  /** Drive at which the tap's recording shows 1 % distortion of a tone on both sides; null where it never does below +20. */
  readonly driveDbFs: number | null;
  readonly place: 'before the volume control' | 'after the volume control' | 'none';
  /** RMS volts of the tone's fundamental across the pair there. */
  readonly voltsRms: number | null;
}

/** 1 % of harmonics 2 to 10 up to 20 kHz, as the report counts (common practice). */
const ONSET_THD = 0.01;
const HIGHEST_HARMONIC = 10;
const HIGHEST_HARMONIC_HZ = 20_000;

/** Where distortion (harmonics 2 to 10 up to 20 kHz, as the recording shows them) reaches 1 %. */
export function trueClipOnset(scenario: Scenario, at: TapAtSetting & { toneHz: number }): TrueClipOnset {
  const highestHarmonic = Math.min(HIGHEST_HARMONIC, Math.floor(HIGHEST_HARMONIC_HZ / at.toneHz));
  const rail = railOnset(scenario, { ...at, highestHarmonic });
  const before = onsetBefore(scenario, { ...at, highestHarmonic });
  if (rail === null && before === null) return { driveDbFs: null, place: 'none', voltsRms: null };
  return before === null || (rail !== null && rail.driveDbFs < before.driveDbFs)
    ? { ...rail!, place: 'after the volume control' }
    : { ...before, place: 'before the volume control' };
}

/** Peak of the clip over the sine's: 1 % lies 0.265 dB past the rail for harmonics 2 to 10. */
export function onsetRatio(highestHarmonic: number): number {
  return clipRatioForThd({ thd: ONSET_THD, highestHarmonic });
}

/**
 * Peak volts at the rail for a tone on both sides: what the stage would put out if it did not clip. Limiters act as in
 * a steady state.
 */
export function peakVoltsAtRail(
  scenario: Scenario,
  { tapId, setting, toneHz, driveDbFs }: TapAtSetting & { toneHz: number; driveDbFs: number },
): number {
  const tap = tapOf(scenario, tapId);
  const sampleRateHz = samplesPerTrackSecond(scenario);
  const { left, right } = routingOf(tap);
  let level = Math.abs(left + right) * ratioOf(driveDbFs);
  if (tap.limiterBefore !== null) {
    const limiter = { ...tap.limiterBefore, threshold: ratioOf(tap.limiterBefore.thresholdDbFs) };
    level *= magnitude(limiterResponse(limiter, { frequencyHz: toneHz, level, sampleRateHz }));
  }
  const filters = filterResponse(scenario, [...fixedFilters(tap), ...volumeDependentFilters(tap, setting)]);
  level *= Math.SQRT2 * pairVoltsRms(tap, setting) * magnitude(filters(toneHz));
  if (tap.limiterAfter !== null) {
    const limiter = { ...tap.limiterAfter, threshold: tap.limiterAfter.thresholdVoltsRms * Math.SQRT2 };
    level *= magnitude(limiterResponse(limiter, { frequencyHz: toneHz, level, sampleRateHz }));
  }
  return level;
}

type ToneAt = TapAtSetting & { toneHz: number; highestHarmonic: number };
type Onset = { driveDbFs: number; voltsRms: number } | null;

/** By bisection: volts at the rail only rise with the drive. */
function railOnset(scenario: Scenario, at: ToneAt): Onset {
  const { railVoltsPeak } = tapOf(scenario, at.tapId);
  if (railVoltsPeak === null) return null;
  const ratio = onsetRatio(at.highestHarmonic);
  let clean = LOWEST_DRIVE_DB_FS;
  let clipped = HIGHEST_DRIVE_DB_FS;
  const clipsAt = (driveDbFs: number) =>
    peakVoltsAtRail(scenario, { ...at, driveDbFs }) * ratio > railVoltsPeak;
  if (!clipsAt(clipped)) return null;
  for (let i = 0; i < 60; i++) {
    const middle = (clean + clipped) / 2;
    if (clipsAt(middle)) clipped = middle;
    else clean = middle;
  }
  const fundamental = clippedSineHarmonic({ harmonic: 1, ratio }) / ratio;
  return { driveDbFs: clean, voltsRms: (fundamental * railVoltsPeak) / Math.SQRT2 };
}

/** Where the search begins and ends. */
const LOWEST_DRIVE_DB_FS = -120;
const HIGHEST_DRIVE_DB_FS = 20;

function onsetBefore(scenario: Scenario, { tapId, setting, toneHz, highestHarmonic }: ToneAt): Onset {
  const tap = tapOf(scenario, tapId);
  if (tap.clipBeforeDbFs === null) return null;
  const { left, right } = routingOf(tap);
  const filters = filterResponse(scenario, [...fixedFilters(tap), ...volumeDependentFilters(tap, setting)]);
  const gainOf = (harmonic: number) => magnitude(filters(harmonic * toneHz));
  const ratio = filteredClipRatio({ highestHarmonic, gainOf });
  if (ratio === null) return null;
  const driveDbFs = tap.clipBeforeDbFs - decibels(ratio * Math.abs(left + right));
  const fundamental = (clippedSineHarmonic({ harmonic: 1, ratio }) / ratio) * ratioOf(tap.clipBeforeDbFs);
  return { driveDbFs, voltsRms: fundamental * pairVoltsRms(tap, setting) * gainOf(1) };
}

/**
 * The mildest clipping whose harmonics, after the filters behind it, are 1 % of the fundamental; null where they never
 * are. Filters can make the reading fall again as the clipping gets harder, so the first crossing is looked for.
 */
function filteredClipRatio(behind: {
  highestHarmonic: number;
  gainOf: (harmonic: number) => number;
}): number | null {
  const reached = (ratio: number) => filteredThd({ ...behind, ratio }) >= ONSET_THD;
  let clipped = 1;
  while (!reached(clipped)) {
    clipped -= SEARCH_STEP;
    if (clipped < HARDEST_RATIO) return null;
  }
  let clean = clipped + SEARCH_STEP;
  for (let i = 0; i < 50; i++) {
    const middle = (clipped + clean) / 2;
    if (reached(middle)) clipped = middle;
    else clean = middle;
  }
  return clipped;
}

/** Of a decibel, finer than any bound of a test. */
const SEARCH_STEP = 0.002;
/** 40 dB into clipping: as good as a square wave. */
const HARDEST_RATIO = 0.01;

function filteredThd({
  ratio,
  highestHarmonic,
  gainOf,
}: {
  ratio: number;
  highestHarmonic: number;
  gainOf: (harmonic: number) => number;
}): number {
  let square = 0;
  for (let harmonic = 3; harmonic <= highestHarmonic; harmonic += 2) {
    square += (clippedSineHarmonic({ harmonic, ratio }) * gainOf(harmonic)) ** 2;
  }
  return Math.sqrt(square) / (clippedSineHarmonic({ harmonic: 1, ratio }) * gainOf(1));
}

function magnitude({ real, imag }: { real: number; imag: number }): number {
  return Math.hypot(real, imag);
}
