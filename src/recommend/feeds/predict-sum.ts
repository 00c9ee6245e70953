import { decibels, ratioOf } from '../../dsp/decibels.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import type { Programme } from '../../tones/track.ts';

/** A complex spectrum on the frequency grid. */
export interface Spectrum {
  readonly real: Float64Array;
  readonly imag: Float64Array;
}

interface SumPart {
  readonly measurement: TapMeasurement;
  readonly tap: FeedTap;
}

/**
 * What a converter gives that adds taps: complex addition of their measured responses, each with its polarity, trim and
 * delay. In volts for full-scale drive where every tap is calibrated, else in full-scale units of the recording.
 *
 * The measurements have to share a time origin (`sharesTimeOrigin`): otherwise the phases mean nothing.
 */
export function predictSum({
  parts,
  programme,
}: {
  readonly parts: readonly SumPart[];
  readonly programme: Programme;
}): Spectrum {
  const real = new Float64Array(gridFrequencyHz.length);
  const imag = new Float64Array(gridFrequencyHz.length);
  const inVolts = parts.every(({ measurement }) => measurement.voltsPerFullScale !== null);
  for (const { measurement, tap } of parts) {
    const response = programmeSpectrum(measurement, programme);
    const scale = inVolts ? measurement.voltsPerFullScale!.volts : 1;
    const gain = scale * ratioOf(tap.trimDb) * (tap.polarity === 'inverted' ? -1 : 1);
    if (tap.delaySeconds === 0) {
      for (let i = 0; i < real.length; i++) {
        real[i] += response.real[i] * gain;
        imag[i] += response.imag[i] * gain;
      }
      continue;
    }
    for (let i = 0; i < real.length; i++) {
      const phase = -2 * Math.PI * gridFrequencyHz[i] * tap.delaySeconds;
      const cos = gain * Math.cos(phase);
      const sin = gain * Math.sin(phase);
      real[i] += response.real[i] * cos - response.imag[i] * sin;
      imag[i] += response.real[i] * sin + response.imag[i] * cos;
    }
  }
  return { real, imag };
}

/** The response of a tap to programme on one side or on both alike. */
export function programmeSpectrum(measurement: TapMeasurement, programme: Programme): Spectrum {
  const { left, right } = measurement;
  switch (programme) {
    case 'left':
      return left;
    case 'right':
      return right;
    case 'both': {
      const known = bothSides.get(measurement);
      if (known !== undefined) return known;
      const sum = {
        real: left.real.map((value, i) => value + right.real[i]),
        imag: left.imag.map((value, i) => value + right.imag[i]),
      };
      bothSides.set(measurement, sum);
      return sum;
    }
  }
}

/** Asked for with every sum and level; measurements do not change. */
const bothSides = new WeakMap<TapMeasurement, Spectrum>();

export function sharesTimeOrigin(measurements: readonly TapMeasurement[]): boolean {
  return measurements.every(({ timeOrigin }) => timeOrigin === measurements[0].timeOrigin);
}

export function magnitudes({ real, imag }: Spectrum): Float64Array {
  return real.map((re, i) => Math.sqrt(re * re + imag[i] * imag[i]));
}

/** Floor of -200 dB, so that nothing is minus infinity. */
export function flooredDb(magnitude: Float64Array): Float64Array {
  return magnitude.map((value) => decibels(Math.max(value, 1e-10)));
}
