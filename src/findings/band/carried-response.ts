import { modulus } from '../../dsp/modulus.ts';
import type { FindingOf } from '../../model/finding.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { FrequencyResponse } from '../../model/response.ts';

export type Carries = FindingOf<'routing'>['carries'];

/**
 * Response of a tap to the programme that it carries: the left or the right channel alone, their sum, or their
 * difference. A tap that carries nothing gets its left response, in which nothing is trusted.
 */
export function carriedResponse({ left, right }: TapMeasurement, carries: Carries): FrequencyResponse {
  switch (carries) {
    case 'right':
      return right;
    case 'left and right':
      return combined({ left, right, rightSign: 1 });
    case 'difference':
      return combined({ left, right, rightSign: -1 });
    case 'left':
    case 'nothing':
      return left;
  }
}

function combined(of: {
  left: FrequencyResponse;
  right: FrequencyResponse;
  rightSign: 1 | -1;
}): FrequencyResponse {
  const { left, right, rightSign } = of;
  return {
    real: left.real.map((real, i) => real + rightSign * right.real[i]),
    imag: left.imag.map((imag, i) => imag + rightSign * right.imag[i]),
    sigma: left.sigma.map((sigma, i) => modulus(sigma, right.sigma[i])),
    trustedHz: widerBand(left.trustedHz, right.trustedHz),
  };
}

function widerBand(
  one: readonly [number, number] | null,
  other: readonly [number, number] | null,
): readonly [number, number] | null {
  if (one === null || other === null) return one ?? other;
  return one[1] / one[0] >= other[1] / other[0] ? one : other;
}
