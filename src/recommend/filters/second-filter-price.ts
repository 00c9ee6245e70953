import { decibels } from '../../dsp/decibels.ts';
import {
  evaluateSections,
  orderOfSlope,
  type PrototypeFilter,
  prototypeSections,
} from '../../dsp/filter-prototype.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { RadioFilter } from './radio-filter.ts';

/**
 * What the radio's own filter leaves at a frequency, and what a second one behind it (a Butterworth) would leave. Null where
 * it is not known what kind of filter the radio has.
 */
export function secondFilterPrice({
  radio,
  type,
  second,
  atHz,
}: {
  readonly radio: RadioFilter;
  readonly type: 'high-pass' | 'low-pass';
  readonly second: { readonly cornerHz: number; readonly slopeDbPerOctave: number };
  readonly atHz: number;
}): NonNullable<AdviceOf<'filter'>['price']> | null {
  if (radio.filter === null) return null;
  const { family, order } = radio.filter;
  const secondOrder = Math.min(HIGHEST_ORDER, orderOfSlope(second.slopeDbPerOctave));
  const levelDb = (filter: Omit<PrototypeFilter, 'side'>, cornerHz: number) => {
    const sections = prototypeSections({ ...filter, side: type });
    const { real, imag } = evaluateSections(sections, { frequencyHz: atHz, cornerHz, sampleRateHz: null });
    return decibels(Math.hypot(real, imag));
  };
  const aloneDb = levelDb({ family, order }, radio.cornerHz);
  return {
    atHz,
    aloneDb,
    withSecondDb: aloneDb + levelDb({ family: 'butterworth', order: secondOrder }, second.cornerHz),
    secondHz: second.cornerHz,
    secondSlopeDbPerOctave: second.slopeDbPerOctave,
  };
}

/** Of Butterworth filters (`ORDERS_OF_FAMILY`). */
const HIGHEST_ORDER = 8;
