import { modulus } from '../../dsp/modulus.ts';
import { sweepTimeOf } from '../../dsp/sweep.ts';
import { SECTION_LEAD_SECONDS } from '../../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { SectionResponses } from './section-responses.ts';

/** A frequency is read from this much around the moment when the sweep passes it. */
const AROUND_SECONDS = 0.05;

/**
 * A sweep of which the recording holds a part only, because it began late or was stopped early: what the sweep passed outside
 * counts as not read, and beside it there is at least as much noise as beside its twin, since what is not there is no quiet.
 *
 * @param twin the sweep of the same length on the other side
 * @param length of the recording, samples
 */
export function withinRecording(
  sweep: SectionResponses,
  { twin, length }: { twin: SectionResponses; length: number },
): SectionResponses {
  const { plan, startFrame, channels } = sweep;
  const { sampleRateHz } = plan;
  if (startFrame >= 0 && startFrame + plan.sectionLength <= length) return sweep;
  const isRead = Array.from(gridFrequencyHz, (hz) => {
    const passes = startFrame / sampleRateHz + SECTION_LEAD_SECONDS + sweepTimeOf(plan.sweep, hz);
    return passes >= AROUND_SECONDS && passes <= length / sampleRateHz - AROUND_SECONDS;
  });
  return {
    ...sweep,
    isPart: true,
    channels: channels.map((response, i) => ({
      ...response,
      sigma: response.sigma.map((sigma, k) =>
        Math.max(
          sigma,
          twin.channels[i].sigma[k],
          isRead[k] ? 0 : modulus(response.real[k], response.imag[k]),
        ),
      ),
    })),
  };
}
