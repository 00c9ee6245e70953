import { DB_PER_NEPER, ratioOf } from '../../dsp/decibels.ts';
import { realSpectrum, transformSizeFor } from '../../dsp/fft.ts';
import { doubles, kept, reused, whenReleased } from '../../dsp/kernels/kernel-arrays.ts';
import { kernels } from '../../dsp/kernels/kernels.ts';
import { modulus } from '../../dsp/modulus.ts';
import { windowSigmaSeconds } from '../../dsp/smoothing-kernel.ts';
import { type Sweep, sweepTimeOf } from '../../dsp/sweep.ts';
import type { SweepPlan } from '../../dsp/sweep-plan.ts';
import { EARLIEST_SECONDS, LATEST_SECONDS, sweepResidual } from '../../dsp/sweep-residual.ts';
import {
  planSweep,
  SECTION_LEAD_SECONDS,
  type SweepResponse,
  sweepResponse,
} from '../../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { SweepSection } from '../../tones/track.ts';
import type { AnnouncementsInSweep } from '../disturbances/find-announcements.ts';
import { type Burst, findKnocks } from '../disturbances/find-knocks.ts';
import type { TakeReader } from '../take-reader.ts';
import type { SectionResponses } from './section-responses.ts';

/** A knock in a sweep, and the frequencies that the sweep passed meanwhile: what is read there is not trusted. */
export interface SweepKnock {
  readonly atSeconds: number;
  readonly spoiltHz: readonly [number, number];
}

/** @param seen shown the samples of each channel by its place in `channels`; they are overwritten afterwards */
export function sectionResponses(
  reader: TakeReader,
  section: SweepSection,
  seen?: (i: number, samples: Float32Array) => void,
): SectionResponses {
  const { sampleRateHz } = reader;
  const plan = planFor(section, sampleRateHz);
  const startFrame =
    reader.startFrame + Math.round((section.startSeconds - SECTION_LEAD_SECONDS) * sampleRateHz);
  const window = { start: startFrame, count: plan.sectionLength };
  // All sweeps of a take would be 34 MB for eight channels: they are read again where needed.
  const readAgain = (i: number) => reader.readOne(i, window);
  return {
    section,
    plan,
    startFrame,
    readAgain,
    residual(i) {
      if (lastResidual?.readAgain !== readAgain || lastResidual.i !== i)
        lastResidual = { readAgain, i, residual: sweepResidual(plan, readAgain(i)) };
      return lastResidual.residual;
    },
    channels: reader.parts(plan.sectionLength).flatMap((places) =>
      reader
        .only(places)
        .read(window)
        .map((samples, n) => {
          seen?.(places[n], samples);
          return sweepResponse(plan, samples);
        }),
    ),
  };
}

/** The one that stands in the memory which all share. */
let lastResidual: { readAgain: SectionResponses['readAgain']; i: number; residual: Float64Array } | null =
  null;
whenReleased(() => {
  lastResidual = null;
});

/**
 * Noise in the recording for each grid frequency, as the response of any sweep of the take has it beside itself: sweeps
 * of different length and drive then compare.
 */
export function noiseBesideSweep({ plan, channels }: SectionResponses, i: number): Float64Array {
  return channels[i].sigma.map((sigma, k) => sigma / Math.sqrt(plan.varianceFactors[k] * plan.sectionLength));
}

/** A sweep without what was heard beside it. */
export interface CleanedSweep {
  readonly response: SweepResponse;
  readonly knocks: readonly SweepKnock[];
  /** Of the recording, and the frequencies passed meanwhile, which are not used. */
  readonly announcements: readonly {
    readonly fromSeconds: number;
    readonly toSeconds: number;
    readonly spoiltHz: readonly [number, number];
  }[];
}

/**
 * Looks for knocks in one channel of a section. A sweep passes each frequency once, so that a knock spoils only those
 * passed while it lasted: it is taken out of the rest, and what it may have left there raises sigma. The same for
 * announcements, of which nothing that was passed meanwhile is believed.
 *
 * @param sounds stretches of the section; what is too faint to be named is taken for a knock that is not named
 * @param isRadios whether a burst is what the radio does to the sweep
 * @returns null where there is neither
 */
export function withoutKnocks(
  { plan, readAgain, residual: residualOf, startFrame }: SectionResponses,
  i: number,
  { clear: announcements, faint }: AnnouncementsInSweep,
  isRadios: (burst: Burst) => boolean = () => false,
): CleanedSweep | null {
  const { sampleRateHz, sectionLength, sweep } = plan;
  const knocks = findKnocks(residualOf(i), sampleRateHz).filter(
    (burst) =>
      ![...announcements, ...faint].some((one) => burst.from < one.to && burst.to > one.from) &&
      !isRadios(burst),
  );
  const bursts = [...knocks, ...announcements, ...faint];
  if (bursts.length === 0) return null;
  const residual = residualOf(i); // again: `isRadios` may have asked for that of another sweep
  const cleaned = cleanedWork(sectionLength);
  cleaned.set(readAgain(i));
  for (const { from, to } of bursts) for (let n = from; n < to; n++) cleaned[n] -= residual[n];
  const response = sweepResponse(plan, cleaned);
  const errors = bursts.map((burst) => leftInResponse(plan, residual, burst));
  const disturbedHz = announcements.map((burst) =>
    passedDuring(sweep, { burst, sampleRateHz, reach: RESIDUAL_REACH }),
  );
  const sigma = response.sigma.map((value, k) => {
    const isDisturbed = disturbedHz.some(
      ([low, high]) => gridFrequencyHz[k] >= low && gridFrequencyHz[k] <= high,
    );
    const unknown = isDisturbed ? modulus(response.real[k], response.imag[k]) : 0;
    return Math.hypot(value, unknown, ...errors.map((error) => error[k]));
  });
  return {
    response: { ...response, sigma },
    knocks: knocks.map((burst, b) => ({
      atSeconds: (startFrame + burst.from) / sampleRateHz,
      spoiltHz: spoiltBand(sweep, { burst, sampleRateHz, error: errors[b], response }),
    })),
    announcements: announcements.map(({ from, to }, a) => ({
      fromSeconds: (startFrame + from) / sampleRateHz,
      toSeconds: (startFrame + to) / sampleRateHz,
      spoiltHz: disturbedHz[a],
    })),
  };
}

/** What of a sound a residual lacks: it was taken for the response of the frequency that arrives within this around it. */
const RESIDUAL_REACH = { beforeSeconds: LATEST_SECONDS, afterSeconds: EARLIEST_SECONDS };

const cleanedWork = reused(doubles);
const spectrumWork = reused(doubles);
const runningWork = reused(doubles);

/** The spectrum of a burst is averaged over an octave: bins a hertz apart are enough for the lowest. */
const LEAST_BURST_SECONDS = 1;

/** Size of what a burst may have left in a response: its own spectrum, as far as the window in time lets it through. */
function leftInResponse(plan: SweepPlan, residual: Float64Array, { from, to }: Burst): Float64Array {
  const { sampleRateHz, stimulusPower } = plan;
  const size = transformSizeFor(Math.max(to - from, LEAST_BURST_SECONDS * sampleRateHz));
  const spectrum = realSpectrum(residual.subarray(from, to), size, spectrumWork(size + 2));
  const running = runningWork(size / 2 + 1);
  kernels.runningPower(spectrum, running, size / 2);
  const binHz = sampleRateHz / size;
  const planBinHz = sampleRateHz / plan.transformSize;
  return gridFrequencyHz.map((hz) => {
    // The residual lacks what the sweep's own window took at this frequency: its neighbours within an octave tell.
    const low = Math.max(1, Math.round((hz * Math.SQRT1_2) / binHz));
    const high = Math.min(running.length - 1, Math.round((hz * Math.SQRT2) / binHz) + 1);
    const power = (running[high] - running[low - 1]) / (high - low + 1);
    const centre = Math.min(stimulusPower.length - 2, Math.max(1, Math.round(hz / planBinHz)));
    return Math.sqrt(power / stimulusPower[centre]) * passedBy(plan.sweep, { hz, from, to, sampleRateHz });
  });
}

/** How much of a burst the window around a frequency's arrival lets through, 0 to 1. */
function passedBy(
  sweep: Sweep,
  { hz, from, to, sampleRateHz }: { hz: number; from: number; to: number; sampleRateHz: number },
): number {
  const passes = SECTION_LEAD_SECONDS + sweepTimeOf(sweep, hz);
  const away = Math.max(0, from / sampleRateHz - passes, passes - to / sampleRateHz);
  const v = away / windowSigmaSeconds(hz);
  return (1 + (v * v) / 2) * Math.exp((-v * v) / 2);
}

/** A tenth of a decibel: less than this from a knock is not worth telling. */
const NOTEWORTHY = 0.1 / DB_PER_NEPER;

function spoiltBand(
  sweep: Sweep,
  of: { burst: Burst; sampleRateHz: number; error: Float64Array; response: SweepResponse },
): [number, number] {
  const spoilt = gridFrequencyHz.filter(
    (_, k) => of.error[k] > NOTEWORTHY * modulus(of.response.real[k], of.response.imag[k]),
  );
  if (spoilt.length > 0) return [spoilt[0], spoilt[spoilt.length - 1]];
  return passedDuring(sweep, { ...of, reach: { beforeSeconds: 0, afterSeconds: 0 } });
}

/** Frequencies that a sweep passes from some time before a burst to some time after it. */
function passedDuring(
  sweep: Sweep,
  of: { burst: Burst; sampleRateHz: number; reach: { beforeSeconds: number; afterSeconds: number } },
): [number, number] {
  const passed = (seconds: number) => {
    const part = (seconds - SECTION_LEAD_SECONDS) / sweep.durationSeconds;
    return sweep.startHz * (sweep.endHz / sweep.startHz) ** Math.min(1, Math.max(0, part));
  };
  const { burst, sampleRateHz, reach } = of;
  return [
    passed(burst.from / sampleRateHz - reach.beforeSeconds),
    passed(burst.to / sampleRateHz + reach.afterSeconds),
  ];
}

const plans = kept<SweepPlan>();

/** Plans are the same for every recording of one rate. */
function planFor({ sweep, driveDbFs }: SweepSection, sampleRateHz: number): SweepPlan {
  return plans(`${sampleRateHz} ${driveDbFs} ${sweep.durationSeconds}`, () =>
    planSweep({
      sweep,
      driveAmplitude: ratioOf(driveDbFs),
      sampleRateHz,
      frequencyHz: gridFrequencyHz,
    }),
  );
}
