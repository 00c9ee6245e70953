import { inverseReal, realSpectrum } from './fft.ts';
import { doubles, reused } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';
import { centred, workFor } from './section-work.ts';
import type { SweepPlan } from './sweep-plan.ts';

/** What a linear system adds to a sweep arrives within this around it: all of a filter's ringing, none of its harmonics. */
export const EARLIEST_SECONDS = 0.1;
export const LATEST_SECONDS = 0.3;
const EDGE_SECONDS = 0.02;
/** At the section's cut ends the deconvolution splashes. */
const BLIND_SECONDS = 0.04;

/**
 * What a recorded sweep section holds beside the sweep and its linear response, between the sweep's own limits in
 * frequency: noise, hum, harmonics, and whatever struck the bench meanwhile.
 *
 * @param section `plan.sectionLength` samples, the sweep's start expected SECTION_LEAD_SECONDS into them
 * @returns as many samples, overwritten by the next call; zero at the ends, which cannot be judged
 */
export function sweepResidual(plan: SweepPlan, section: ArrayLike<number>): Float64Array {
  const { transformSize, sampleRateHz, stimulus, inversePower } = plan;
  const binHz = sampleRateHz / transformSize;
  const first = Math.ceil(plan.sweep.startHz / binHz);
  const last = Math.min(transformSize / 2 - 1, Math.floor(plan.sweep.endHz / binHz));
  const work = workFor(plan);
  const end = last + 1;
  const bins = transformSize / 2 + 1;
  const spectrum = realSpectrum(centred(section, work.section), transformSize, work.cross);
  const quotient = work.turned;
  kernels.divide(spectrum, stimulus, inversePower, quotient, first, end, bins);
  const impulse = inverseReal(quotient, impulseWork(transformSize));
  keepAroundArrival(impulse, sampleRateHz);
  const response = realSpectrum(impulse, transformSize, quotient);
  kernels.subtractProduct(spectrum, stimulus, response, first, end, bins);
  const residual = inverseReal(spectrum, impulse).subarray(0, plan.sectionLength);
  const blind = Math.round(BLIND_SECONDS * sampleRateHz);
  residual.fill(0, 0, blind).fill(0, plan.sectionLength - blind);
  return residual;
}

const impulseWork = reused(doubles);

/** Clears an impulse response except around time zero (times before it lie at the end). */
function keepAroundArrival(impulse: Float64Array, sampleRateHz: number): void {
  const size = impulse.length;
  const from = -Math.round(EARLIEST_SECONDS * sampleRateHz);
  const to = Math.round(LATEST_SECONDS * sampleRateHz);
  const edge = EDGE_SECONDS * sampleRateHz;
  for (let n = from; n < to; n++) {
    const inside = Math.min((n - from) / edge, (to - n) / edge);
    if (inside >= 1) continue;
    impulse[(n + size) % size] *= 0.5 * (1 - Math.cos(Math.PI * inside));
  }
  impulse.fill(0, to, size + from);
}
