import {
  FIRST_RATIO,
  isUnderCurve,
  placeOf,
  STEP,
  scrambled,
  stripOf,
  triangularOf,
} from '../../ziggurat.ts';

/** See `source/noise.c`. */
export function addGaussian(
  samples: Float64Array,
  strips: Float64Array,
  state: Int32Array,
  sigma: number,
  from: number,
  to: number,
): number {
  let here = state[0];
  let n = from;
  while (n < to) {
    here = (here + STEP) | 0;
    const draw = scrambled(here);
    const strip = stripOf(draw);
    const place = placeOf(draw);
    const x = place * strips[strip];
    if (Math.abs(place) >= strips[FIRST_RATIO + strip]) {
      if (strip === 0) break;
      here = (here + STEP) | 0;
      if (!isUnderCurve(strip, x, scrambled(here) / 2 ** 32)) continue;
    }
    samples[n++] += sigma * x;
  }
  state[0] = here;
  return n;
}

export function dither(
  samples: Float64Array,
  out: Float32Array,
  state: Int32Array,
  fullScale: number,
  count: number,
): void {
  let here = state[0];
  for (let n = 0; n < count; n++) {
    here = (here + STEP) | 0;
    const step = Math.floor(samples[n] * fullScale + triangularOf(scrambled(here)) + 0.5);
    out[n] = Math.max(-fullScale, Math.min(fullScale - 1, step)) / fullScale;
  }
  state[0] = here;
}
