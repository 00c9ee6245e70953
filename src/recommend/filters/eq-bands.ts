import type { AnalogSection } from '../../dsp/analog-section.ts';
import {
  evaluateOnGrid,
  highShelfSections,
  lowShelfSections,
  peakingSections,
} from '../../dsp/filter-prototype.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';

/** One band of a processor. */
export interface EqBand {
  readonly shape: 'peak' | 'low shelf' | 'high shelf';
  readonly frequencyHz: number;
  readonly gainDb: number;
  readonly q: number;
}

/** What bands do together, decibels; on the frequency grid where no other frequencies are given. */
export function bandsDb(bands: readonly EqBand[], frequencyHz = gridFrequencyHz): Float64Array {
  const total = new Float64Array(frequencyHz.length);
  for (const band of bands) {
    const at = { frequencyHz, cornerHz: band.frequencyHz, sampleRateHz: null };
    const { real, imag } = evaluateOnGrid(sectionsOf(band), at);
    for (let i = 0; i < total.length; i++) total[i] += 10 * Math.log10(real[i] ** 2 + imag[i] ** 2);
  }
  return total;
}

function sectionsOf({ shape, gainDb, q }: EqBand): AnalogSection[] {
  switch (shape) {
    case 'peak':
      return peakingSections({ gainDb, q });
    case 'low shelf':
      return lowShelfSections({ gainDb, q });
    case 'high shelf':
      return highShelfSections({ gainDb, q });
  }
}
