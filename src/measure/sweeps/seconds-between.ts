import { sweepTimeOf } from '../../dsp/sweep.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { SectionResponses } from './section-responses.ts';

/** From when the earlier sweep passes a frequency of the grid to when the later one does. */
export function secondsBetween({
  earlier,
  later,
}: {
  earlier: SectionResponses;
  later: SectionResponses;
}): Float64Array {
  const passes = ({ section }: SectionResponses, hz: number) =>
    section.startSeconds + sweepTimeOf(section.sweep, hz);
  return gridFrequencyHz.map((hz) => passes(later, hz) - passes(earlier, hz));
}
