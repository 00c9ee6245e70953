import { readFileSync } from 'node:fs';
import type { FilterFamily, FilterSide } from '../../src/dsp/filter-prototype.ts';

interface ScipyFilters {
  readonly everyGridPoint: number;
  readonly cases: readonly {
    family: FilterFamily;
    order: number;
    side: FilterSide;
    cornerHz: number;
    sampleRateHz: number | null;
    real: number[];
    imag: number[];
  }[];
}

/** 30 filters that scipy computed, on every so many points of the frequency grid. */
export const { cases, everyGridPoint }: ScipyFilters = JSON.parse(
  readFileSync(new URL('fit-filters.json', import.meta.url), 'utf8'),
);
