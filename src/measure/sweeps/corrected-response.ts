import { correctClock } from '../../dsp/correct-clock.ts';
import type { SweepResponse } from '../../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { SweepSection } from '../../tones/track.ts';

/** A response of a section by the player's clock, against the start of the take. */
export function correctedResponse(
  { sweep, startSeconds }: SweepSection,
  response: SweepResponse,
  ppm: number,
): SweepResponse {
  return correctClock(response, {
    frequencyHz: gridFrequencyHz,
    sweep,
    sectionStartSeconds: startSeconds,
    ppm,
  });
}
