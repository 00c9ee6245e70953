import { decibels, decibelsOfPower, powerRatioOf, ratioOf } from '../../dsp/decibels.ts';
import {
  evaluateOnGrid,
  type FilterFamily,
  orderOfSlope,
  prototypeSections,
} from '../../dsp/filter-prototype.ts';
import { modulus } from '../../dsp/modulus.ts';
import { mean } from '../../dsp/statistics.ts';
import { gridFrequencyHz, gridSpan } from '../../model/frequency-grid.ts';
import type { HandOverSum } from '../../model/recommendation/tuning.ts';
import { FULL_NULL_DB, middleLevelDb } from '../feeds/flatness.ts';
import { flooredDb, magnitudes, type Spectrum } from '../feeds/predict-sum.ts';

/** A filter of an amplifier; `null` where it is left open. */
export type SetFilter = { readonly cornerHz: number; readonly slopeDbPerOctave: number } | null;

/** Fuller by more than this over the octave is fuller (takes repeat to half a decibel). */
const FULLER_DB = 0.5;
const HIGHEST_ORDER = 8;
/** Where each is taken to be at its own level: mains above the hand-over, subwoofer below. */
const MAINS_BAND_RATIO = [1.5, 12] as const;
const SUBWOOFER_BAND_RATIO = [0.3, 0.9] as const;

/**
 * How mains and subwoofer add around the hand-over, electrically: their spectra (1 where the radio leaves them alone) through
 * the amplifiers' filters, each with its own order and phase. Whether a filter is a Butterworth or a Linkwitz-Riley is not
 * printed on amplifiers: where the two do not ask for the same polarity, either may be right.
 */
export function handOverSum({
  mains,
  subwoofer,
  highPass,
  lowPass,
  atHz,
  basis,
}: {
  readonly mains: Spectrum | null;
  readonly subwoofer: Spectrum | null;
  readonly highPass: SetFilter;
  readonly lowPass: SetFilter;
  readonly atHz: number;
  readonly basis: HandOverSum['basis'];
}): HandOverSum {
  const sums = FAMILIES.map((family) => {
    const high = filtered(levelled(mains, atHz, MAINS_BAND_RATIO), highPass, { family, side: 'high-pass' });
    const low = filtered(levelled(subwoofer, atHz, SUBWOOFER_BAND_RATIO), lowPass, {
      family,
      side: 'low-pass',
    });
    return { asWired: spanDb(high, low, 1, atHz), inverted: spanDb(high, low, -1, atHz) };
  });
  const wanted = sums.map(({ asWired, inverted }) => fullerOf(asWired, inverted));
  const [{ asWired, inverted }] = sums;
  const strip = ({ leastDb, mostDb, atCornerDb }: Span) => ({ leastDb, mostDb, atCornerDb });
  return {
    atHz,
    asWired: strip(asWired),
    inverted: strip(inverted),
    startWith: wanted.every((one) => one === wanted[0]) ? wanted[0] : 'either',
    basis,
  };
}

const FAMILIES: readonly FilterFamily[] = ['butterworth', 'linkwitz-riley'];

function filtered(
  { real, imag }: Spectrum,
  filter: SetFilter,
  { family, side }: { family: FilterFamily; side: 'high-pass' | 'low-pass' },
): Spectrum {
  if (filter === null) return { real, imag };
  const order = Math.min(HIGHEST_ORDER, orderOfSlope(filter.slopeDbPerOctave));
  // Linkwitz-Riley filters exist of even orders only.
  const kind = order % 2 === 0 ? family : 'butterworth';
  const response = evaluateOnGrid(prototypeSections({ family: kind, order, side }), {
    frequencyHz: gridFrequencyHz,
    cornerHz: filter.cornerHz,
    sampleRateHz: null,
  });
  return {
    real: real.map((re, i) => re * response.real[i] - imag[i] * response.imag[i]),
    imag: real.map((re, i) => re * response.imag[i] + imag[i] * response.real[i]),
  };
}

const FLAT: Spectrum = {
  real: new Float64Array(gridFrequencyHz.length).fill(1),
  imag: new Float64Array(gridFrequencyHz.length),
};

/** Turned up or down so that its own band stands at 0 dB: the gains see to that. */
function levelled(spectrum: Spectrum | null, atHz: number, [from, to]: readonly [number, number]): Spectrum {
  if (spectrum === null) return FLAT;
  const levelDb = middleLevelDb(flooredDb(magnitudes(spectrum)), gridSpan([atHz * from, atHz * to]));
  const gain = ratioOf(-levelDb);
  return {
    real: spectrum.real.map((value) => value * gain),
    imag: spectrum.imag.map((value) => value * gain),
  };
}

interface Span {
  readonly leastDb: number;
  readonly mostDb: number;
  readonly atCornerDb: number;
  readonly meanDb: number;
}

function spanDb(mains: Spectrum, subwoofer: Spectrum, sign: 1 | -1, atHz: number): Span {
  const { first, last } = gridSpan([atHz / Math.SQRT2, atHz * Math.SQRT2]);
  const levels = Array.from({ length: last - first + 1 }, (_, k) => {
    const i = first + k;
    const magnitude = modulus(
      mains.real[i] + sign * subwoofer.real[i],
      mains.imag[i] + sign * subwoofer.imag[i],
    );
    return Math.max(FULL_NULL_DB, decibels(magnitude + 1e-10));
  });
  return {
    leastDb: Math.min(...levels),
    mostDb: Math.max(...levels),
    atCornerDb: levels[levels.length >> 1],
    meanDb: decibelsOfPower(mean(levels.map(powerRatioOf))),
  };
}

function fullerOf(asWired: Span, inverted: Span): HandOverSum['startWith'] {
  if (Math.abs(inverted.meanDb - asWired.meanDb) < FULLER_DB) return 'either';
  return inverted.meanDb > asWired.meanDb ? 'inverted' : 'as wired';
}
