import type { SweepPlan } from '../../src/dsp/sweep-plan.ts';
import { SECTION_LEAD_SECONDS, type SweepResponse } from '../../src/dsp/sweep-response.ts';
import type { SectionResponses } from '../../src/measure/sweeps/section-responses.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { SweepSection } from '../../src/tones/track.ts';

const TAIL_SECONDS = 0.25;

/** A sweep of which everything is given: what lies beside it, what was recorded, and what it reads. */
export function fakeSweep(of: {
  section: SweepSection;
  sampleRateHz: number;
  residual?: (length: number) => Float64Array;
  recorded?: (length: number) => Float32Array;
  channels?: readonly SweepResponse[];
  startFrame?: number;
}): SectionResponses {
  const { section, sampleRateHz } = of;
  const seconds = SECTION_LEAD_SECONDS + section.durationSeconds + TAIL_SECONDS;
  const sectionLength = Math.round(seconds * sampleRateHz);
  const residual = of.residual?.(sectionLength) ?? new Float64Array(sectionLength);
  const recorded = of.recorded?.(sectionLength) ?? new Float32Array(sectionLength);
  return {
    section,
    plan: {
      sweep: section.sweep,
      sampleRateHz,
      sectionLength,
      varianceFactors: new Float64Array(gridFrequencyHz.length).fill(1 / sectionLength),
    } as unknown as SweepPlan,
    startFrame: of.startFrame ?? 0,
    readAgain: () => recorded,
    residual: () => residual,
    channels: of.channels ?? [],
  };
}
