import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { AnalogSection } from './analog-section.ts';
import { decibelsOfPower } from './decibels.ts';
import { evaluateOnGrid, highShelfSections, lowShelfSections, peakingSections } from './filter-prototype.ts';

/** One band of an equaliser: of a processor, of the radio itself, or fitted to a curve. */
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
    const { real, imag } = evaluateOnGrid(eqSections(band), at);
    for (let i = 0; i < total.length; i++) total[i] += decibelsOfPower(real[i] ** 2 + imag[i] ** 2);
  }
  return total;
}

/** The prototype of a band; its corner is the band's frequency. */
export function eqSections({ shape, gainDb, q }: Omit<EqBand, 'frequencyHz'>): AnalogSection[] {
  switch (shape) {
    case 'peak':
      return peakingSections({ gainDb, q });
    case 'low shelf':
      return lowShelfSections({ gainDb, q });
    case 'high shelf':
      return highShelfSections({ gainDb, q });
  }
}
