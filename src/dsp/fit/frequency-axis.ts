/**
 * The frequencies of a fit on a logarithmic axis: ln f for analogue filters, ln tan(pi f / rate) for digital ones, on which
 * the bilinear transform of a prototype is the prototype itself (tests/dsp/fit/filter-terms.test.ts).
 */
export interface FrequencyAxis {
  /** Position of each frequency. */
  readonly x: Float64Array;
  /** e^x: the frequency, or the tangent, itself. */
  readonly w: Float64Array;
  /** Position of any frequency, given as its natural logarithm, and the derivative by that logarithm. */
  readonly at: (lnHz: number) => { x: number; slope: number };
}

export function frequencyAxis(frequencyHz: Float64Array, sampleRateHz: number | null): FrequencyAxis {
  if (sampleRateHz === null) {
    return { x: frequencyHz.map(Math.log), w: frequencyHz, at: (lnHz) => ({ x: lnHz, slope: 1 }) };
  }
  const angle = (hz: number) => Math.min((Math.PI * hz) / sampleRateHz, 0.4999 * Math.PI);
  const w = frequencyHz.map((hz) => Math.tan(angle(hz)));
  return {
    x: w.map(Math.log),
    w,
    at: (lnHz) => {
      const radians = angle(Math.exp(lnHz));
      return { x: Math.log(Math.tan(radians)), slope: (2 * radians) / Math.sin(2 * radians) };
    },
  };
}
