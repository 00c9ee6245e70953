export function fold(
  samples: ArrayLike<number>,
  even: Float64Array,
  odd: Float64Array,
  start: number,
  length: number,
): number {
  const half = Math.ceil(length / 2);
  const firstLater = start + Math.floor(length / 2);
  const lastEarlier = start + half - 1;
  let power = 0;
  for (let n = 0; n < half; n++) {
    const later = samples[firstLater + n];
    const earlier = samples[lastEarlier - n];
    even[n] = later + earlier;
    odd[n] = later - earlier;
    power += later * later + earlier * earlier;
  }
  if (length % 2 === 1) {
    const middle = samples[firstLater];
    even[0] = middle;
    power -= middle * middle;
  }
  return power;
}

export function products(
  waves: Float64Array,
  values: Float64Array,
  sums: Float64Array,
  length: number,
  count: number,
): void {
  for (let w = 0; w < count; w++) {
    let sum = 0;
    for (let n = 0, at = w * length; n < length; n++, at++) sum += waves[at] * values[n];
    sums[w] = sum;
  }
}

export function toneSums(
  samples: Float64Array,
  wave: Float64Array,
  turns: Float64Array,
  sums: Float64Array,
  count: number,
  block: number,
): void {
  sums[0] = 0;
  sums[1] = 0;
  for (let from = 0, b = 0; from < count; from += block, b += 2) {
    let real = 0;
    let imag = 0;
    for (let n = from, j = 0; n < Math.min(count, from + block); n++, j += 2) {
      real += samples[n] * wave[j];
      imag += samples[n] * wave[j + 1];
    }
    sums[0] += real * turns[b] - imag * turns[b + 1];
    sums[1] += real * turns[b + 1] + imag * turns[b];
  }
}

export function takeOutTone(
  samples: Float64Array,
  wave: Float64Array,
  turns: Float64Array,
  real: number,
  imag: number,
  count: number,
  block: number,
): void {
  for (let from = 0, b = 0; from < count; from += block, b += 2) {
    const cosine = real * turns[b] + imag * turns[b + 1];
    const sine = imag * turns[b] - real * turns[b + 1];
    for (let n = from, j = 0; n < Math.min(count, from + block); n++, j += 2)
      samples[n] -= cosine * wave[j] + sine * wave[j + 1];
  }
}

export function multiply(
  samples: Float32Array,
  by: Float64Array,
  product: Float64Array,
  count: number,
): void {
  for (let n = 0; n < count; n++) product[n] = samples[n] * by[n];
}

export function scaledPower(bins: Float64Array, power: Float64Array, scale: number, count: number): void {
  power[0] = 0;
  for (let k = 1; k < count; k++)
    power[k] = scale * (bins[2 * k] * bins[2 * k] + bins[2 * k + 1] * bins[2 * k + 1]);
}

export function bandSums(
  values: Float64Array,
  weights: Float64Array,
  sums: Float64Array,
  from: number,
  count: number,
): void {
  sums[0] = 0;
  sums[1] = 0;
  for (let n = 0; n < count; n++) {
    sums[0] += values[from + n];
    sums[1] += weights[n] * values[from + n];
  }
}

export function phasorSums(
  real: Float64Array,
  imag: Float64Array,
  cosine: Float64Array,
  sine: Float64Array,
  sums: Float64Array,
  count: number,
  steps: number,
): void {
  for (let j = 0; j < steps; j++) {
    let sum = 0;
    for (let i = 0; i < count; i++) {
      const re = real[i];
      const im = imag[i];
      sum += re;
      real[i] = re * cosine[i] - im * sine[i];
      imag[i] = re * sine[i] + im * cosine[i];
    }
    sums[j] = sum;
  }
}
