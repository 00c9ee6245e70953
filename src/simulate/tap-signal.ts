import { filterInPlace, toBiquads } from '../dsp/biquad.ts';
import { ratioOf } from '../dsp/decibels.ts';
import { resampled } from '../dsp/fractional-resampler.ts';
import { limitBassInPlace } from './bass-limiter.ts';
import type { DecodedTrack } from './decoded-track.ts';
import { trackOf } from './file-plan.ts';
import { hardClipInPlace } from './hard-clip.ts';
import { lastMade } from './last-made.ts';
import { saturateInPlace } from './output-transformer.ts';
import type { Scenario } from './scenario.ts';
import type { SimulatedTap } from './simulated-tap.ts';
import { fixedFilters, type PlacedFilter, volumeDependentFilters } from './tap-filters.ts';
import { pairVoltsRms, routingOf } from './tap-levels.ts';

/** The recorder's clock as seen from the player: samples of the recording in a second of the track. */
export function samplesPerTrackSecond({ recorder }: Scenario): number {
  return recorder.sampleRateHz * (1 + recorder.clockPpm * 1e-6);
}

/** The signal starts this long before the track and ends this long after it: filters ring, kernels reach out. */
export const PRE_SECONDS = 0.05;
const POST_SECONDS = 0.4;

/** The track's own band: everything up to the end of its sweeps. */
const HIGHEST_HZ = 20_000;

/** One side of the track on the recorder's clock, sample 0 at PRE_SECONDS and a fraction of a sample before the track. */
type TrackOnRecorderClock = (side: 'left' | 'right', delaySeconds: number) => Float64Array;

/**
 * A digital-to-analogue converter changes nothing that a filter does, so the track is brought to the recorder's clock
 * first: once for each side and delay, as taps usually share them.
 *
 * @param fraction of a sample, 0 to 1: the two clocks never start together
 */
export function trackOnRecorderClock(
  scenario: Scenario,
  { decoded, fraction }: { decoded: DecodedTrack; fraction: number },
): TrackOnRecorderClock {
  const { playerRateHz } = scenario;
  const rateHz = samplesPerTrackSecond(scenario);
  const step = playerRateHz / rateHz;
  return (side, delaySeconds) => {
    const clock = [playerRateHz, rateHz, fraction, JSON.stringify(scenario.recorder.clockWobble)];
    return lastTracks([trackOf(scenario).name, side, delaySeconds, ...clock].join(' '), () =>
      wobbling(scenario, (late, from, count) =>
        resampled(decoded[side], {
          first: -(PRE_SECONDS + delaySeconds + late) * playerRateHz + (from - fraction) * step,
          step,
          count,
          passBand: HIGHEST_HZ / playerRateHz,
        }),
      )(signalLength(scenario, decoded.left.length / playerRateHz)),
    );
  };
}

/** Hundreds of scenarios play the same tracks to the same recorder: as many as outputs have delays and sides; 18 MB each at 48 kHz. */
const lastTracks = lastMade<Float64Array>(8);

/** So short that a clock of any wobble stands still meanwhile: 200 ppm for 1.3 ms are 0.3 ns. */
const WOBBLE_BLOCK = 64;

/** A signal of a steady clock, or of one that swings: block by block, each as early or late as the clock is meanwhile. */
function wobbling(
  scenario: Scenario,
  part: (lateSeconds: number, from: number, count: number) => Float64Array,
): (count: number) => Float64Array {
  const { clockWobble: wobble } = scenario.recorder;
  if (wobble === null) return (count) => part(0, 0, count);
  const rateHz = samplesPerTrackSecond(scenario);
  const turn = 2 * Math.PI * wobble.hz;
  return (count) => {
    const whole = new Float64Array(count);
    for (let from = 0; from < count; from += WOBBLE_BLOCK) {
      const late = ((1e-6 * wobble.ppm) / turn) * Math.sin((turn * from) / rateHz);
      whole.set(part(late, from, Math.min(WOBBLE_BLOCK, count - from)), from);
    }
    return whole;
  };
}

/** As many samples as `trackOnRecorderClock` gives, and a tap's signal has. */
export function signalLength(scenario: Scenario, trackSeconds: number): number {
  return Math.ceil((PRE_SECONDS + trackSeconds + POST_SECONDS) * samplesPerTrackSecond(scenario));
}

/**
 * The tap's signal in volts across the pair, without noise, sampled by the recorder's clock. What does not depend on the
 * setting is done once; the answer is a function that gives the volts at a setting, in `scratch`, which all taps may
 * share and the next call fills again.
 */
export function tapSignal(
  scenario: Scenario,
  { tap, track, scratch }: { tap: SimulatedTap; track: TrackOnRecorderClock; scratch?: Float64Array },
): (setting: number) => Float64Array {
  const rateHz = samplesPerTrackSecond(scenario);
  const base = routedTrack(tap, track);
  // Up to the volume control: drive, full scale 1.
  if (tap.clipBeforeDbFs !== null) hardClipInPlace(base, ratioOf(tap.clipBeforeDbFs));
  if (tap.limiterBefore !== null) {
    const { thresholdDbFs, ...times } = tap.limiterBefore;
    limitBassInPlace(base, { ...times, threshold: ratioOf(thresholdDbFs) }, rateHz);
  }
  applyFilters(base, fixedFilters(tap), rateHz);

  const volts = scratch ?? new Float64Array(base.length);
  return (setting) => {
    const gain = Math.SQRT2 * pairVoltsRms(tap, setting) * (tap.inverted ? -1 : 1);
    for (let n = 0; n < base.length; n++) volts[n] = base[n] * gain;
    applyFilters(volts, volumeDependentFilters(tap, setting), rateHz);
    if (tap.limiterAfter !== null) {
      const { thresholdVoltsRms, ...times } = tap.limiterAfter;
      limitBassInPlace(volts, { ...times, threshold: thresholdVoltsRms * Math.SQRT2 }, rateHz);
    }
    if (tap.railVoltsPeak !== null) hardClipInPlace(volts, tap.railVoltsPeak);
    if (tap.transformerVoltsAt20Hz !== null)
      saturateInPlace(volts, { voltsAt20Hz: tap.transformerVoltsAt20Hz, sampleRateHz: rateHz });
    return volts;
  };
}

function routedTrack(tap: SimulatedTap, track: TrackOnRecorderClock): Float64Array {
  const weights = routingOf(tap);
  const delaySeconds = tap.delayMicroseconds * 1e-6;
  let sum: Float64Array | null = null;
  for (const side of ['left', 'right'] as const) {
    if (weights[side] === 0) continue;
    const samples = track(side, delaySeconds);
    sum ??= new Float64Array(samples.length);
    for (let n = 0; n < samples.length; n++) sum[n] += weights[side] * samples[n];
  }
  return sum ?? new Float64Array(track('left', delaySeconds).length);
}

function applyFilters(samples: Float64Array, filters: readonly PlacedFilter[], sampleRateHz: number): void {
  const biquads = filters.flatMap(({ sections, cornerHz }) =>
    toBiquads(sections, { cornerHz, sampleRateHz }),
  );
  filterInPlace(samples, biquads);
}
