import { inverseComplex, realSpectrum } from './fft.ts';
import type { SweepPlan } from './sweep-response.ts';

/** What a linear system adds to a sweep arrives within this around it: all of a filter's ringing, none of its harmonics. */
const EARLIEST_SECONDS = 0.1;
const LATEST_SECONDS = 0.3;
const EDGE_SECONDS = 0.02;
/** At the section's cut ends the deconvolution splashes. */
const BLIND_SECONDS = 0.04;

/**
 * What a recorded sweep section holds beside the sweep and its linear response, between the sweep's own limits in
 * frequency: noise, hum, harmonics, and whatever struck the bench meanwhile.
 *
 * @param section `plan.sectionLength` samples, the sweep's start expected SECTION_LEAD_SECONDS into them
 * @returns as many samples; zero at the ends, which cannot be judged
 */
export function sweepResidual(plan: SweepPlan, section: ArrayLike<number>): Float64Array {
  const { transformSize, sampleRateHz, stimulus, stimulusPower } = plan;
  const binHz = sampleRateHz / transformSize;
  const first = Math.ceil(plan.sweep.startHz / binHz);
  const last = Math.min(transformSize / 2 - 1, Math.floor(plan.sweep.endHz / binHz));
  const spectrum = realSpectrum(section, transformSize);
  const quotient = new Float64Array(2 * transformSize);
  for (let k = first; k <= last; k++) {
    const [xr, xi, yr, yi] = [stimulus[2 * k], stimulus[2 * k + 1], spectrum[2 * k], spectrum[2 * k + 1]];
    quotient[2 * k] = (2 * (yr * xr + yi * xi)) / stimulusPower[k];
    quotient[2 * k + 1] = (2 * (yi * xr - yr * xi)) / stimulusPower[k];
  }
  const response = realSpectrum(aroundArrival(inverseComplex(quotient), sampleRateHz), transformSize);
  const rest = quotient.fill(0);
  for (let k = first; k <= last; k++) {
    const [xr, xi, hr, hi] = [stimulus[2 * k], stimulus[2 * k + 1], response[2 * k], response[2 * k + 1]];
    rest[2 * k] = 2 * (spectrum[2 * k] - (xr * hr - xi * hi));
    rest[2 * k + 1] = 2 * (spectrum[2 * k + 1] - (xr * hi + xi * hr));
  }
  const residual = inverseComplex(rest);
  const blind = Math.round(BLIND_SECONDS * sampleRateHz);
  return Float64Array.from({ length: plan.sectionLength }, (_, n) =>
    n < blind || n >= plan.sectionLength - blind ? 0 : residual[2 * n],
  );
}

/** Real part of an interleaved analytic response, kept around time zero only (times before it lie at the end). */
function aroundArrival(analytic: Float64Array, sampleRateHz: number): Float64Array {
  const size = analytic.length / 2;
  const kept = new Float64Array(size);
  const from = -Math.round(EARLIEST_SECONDS * sampleRateHz);
  const to = Math.round(LATEST_SECONDS * sampleRateHz);
  const edge = EDGE_SECONDS * sampleRateHz;
  for (let n = from; n < to; n++) {
    const inside = Math.min(1, (n - from) / edge, (to - n) / edge);
    const at = (n + size) % size;
    kept[at] = analytic[2 * at] * 0.5 * (1 - Math.cos(Math.PI * inside));
  }
  return kept;
}
