export function centre(samples: Float32Array, target: Float64Array, count: number): void {
  let sum = 0;
  for (let n = 0; n < count; n++) sum += samples[n];
  const mean = sum / count;
  for (let n = 0; n < count; n++) target[n] = samples[n] - mean;
}

export function multiplyByConjugate(bins: Float64Array, by: Float64Array, count: number): void {
  for (let k = 0; k < 2 * count; k += 2) {
    const real = bins[k] * by[k] + bins[k + 1] * by[k + 1];
    bins[k + 1] = bins[k + 1] * by[k] - bins[k] * by[k + 1];
    bins[k] = real;
  }
}

export function turnBetween(
  bins: Float64Array,
  sums: Float64Array,
  from: number,
  end: number,
  lag: number,
): void {
  let real = 0;
  let imag = 0;
  let power = 0;
  for (let k = 2 * from; k < 2 * end; k += 2) {
    const later = k + 2 * lag;
    real += bins[later] * bins[k] + bins[later + 1] * bins[k + 1];
    imag += bins[later + 1] * bins[k] - bins[later] * bins[k + 1];
    power += bins[k] * bins[k] + bins[k + 1] * bins[k + 1];
  }
  sums[0] = real;
  sums[1] = imag;
  sums[2] = power;
}

export function turnBack(
  bins: Float64Array,
  target: Float64Array,
  steps: Float64Array,
  first: number,
  end: number,
): void {
  const [stepCos, stepSin] = steps.subarray(4, 6);
  for (let start = first; start < Math.min(first + 2, end); start++) {
    let [cos, sin] = steps.subarray(2 * (start - first), 2 * (start - first) + 2);
    for (let k = 2 * start; k < 2 * end; k += 4) {
      target[k] = bins[k] * cos - bins[k + 1] * sin;
      target[k + 1] = bins[k] * sin + bins[k + 1] * cos;
      const next = cos * stepCos - sin * stepSin;
      sin = sin * stepCos + cos * stepSin;
      cos = next;
    }
  }
}

export function turnBackInBlocks(
  bins: Float64Array,
  blocks: Float64Array,
  inBlock: Float64Array,
  steps: Float64Array,
  first: number,
  end: number,
): void {
  let [cos, sin] = steps;
  const [stepCos, stepSin] = steps.subarray(2, 4);
  for (let b = first; b < end; b++) {
    let real = 0;
    let imag = 0;
    for (let j = 0, k = 16 * b; j < 16; j += 2, k += 2) {
      real += bins[k] * inBlock[j] - bins[k + 1] * inBlock[j + 1];
      imag += bins[k] * inBlock[j + 1] + bins[k + 1] * inBlock[j];
    }
    blocks[2 * b] = real * cos - imag * sin;
    blocks[2 * b + 1] = real * sin + imag * cos;
    const next = cos * stepCos - sin * stepSin;
    sin = sin * stepCos + cos * stepSin;
    cos = next;
  }
}

export function weightedSums(
  bins: Float64Array,
  weights: Float64Array,
  starts: Int32Array,
  firsts: Int32Array,
  sums: Float64Array,
  from: number,
  to: number,
): void {
  for (let i = from; i < to; i++) {
    let real = 0;
    let imag = 0;
    for (let j = starts[i], k = 2 * firsts[i]; j < starts[i + 1]; j++, k += 2) {
      real += weights[j] * bins[k];
      imag += weights[j] * bins[k + 1];
    }
    sums[2 * i] = real;
    sums[2 * i + 1] = imag;
  }
}

export function sumJumps(
  bins: Float64Array,
  factor: Float64Array,
  power: Float64Array,
  running: Float64Array,
  end: number,
): void {
  running[1] = 0;
  let sum = 0;
  let beforeReal = bins[2] * factor[1];
  let beforeImag = bins[3] * factor[1];
  let hereReal = bins[4] * factor[2];
  let hereImag = bins[5] * factor[2];
  for (let k = 2; k <= end; k++) {
    const afterReal = bins[2 * k + 2] * factor[k + 1];
    const afterImag = bins[2 * k + 3] * factor[k + 1];
    const real = afterReal - 2 * hereReal + beforeReal;
    const imag = afterImag - 2 * hereImag + beforeImag;
    sum += (real * real + imag * imag) * power[k];
    running[k] = sum;
    beforeReal = hereReal;
    beforeImag = hereImag;
    hereReal = afterReal;
    hereImag = afterImag;
  }
}

export function divide(
  bins: Float64Array,
  stimulus: Float64Array,
  inversePower: Float64Array,
  quotient: Float64Array,
  first: number,
  end: number,
  count: number,
): void {
  quotient.fill(0, 0, 2 * first).fill(0, 2 * end, 2 * count);
  for (let k = 2 * first; k < 2 * end; k += 2) {
    const weight = inversePower[k / 2];
    quotient[k] = weight * (bins[k] * stimulus[k] + bins[k + 1] * stimulus[k + 1]);
    quotient[k + 1] = weight * (bins[k + 1] * stimulus[k] - bins[k] * stimulus[k + 1]);
  }
}

export function subtractProduct(
  bins: Float64Array,
  stimulus: Float64Array,
  response: Float64Array,
  first: number,
  end: number,
  count: number,
): void {
  bins.fill(0, 0, 2 * first).fill(0, 2 * end, 2 * count);
  for (let k = 2 * first; k < 2 * end; k += 2) {
    bins[k] -= stimulus[k] * response[k] - stimulus[k + 1] * response[k + 1];
    bins[k + 1] -= stimulus[k] * response[k + 1] + stimulus[k + 1] * response[k];
  }
}

export function runningPower(bins: Float64Array, running: Float64Array, end: number): void {
  running[0] = 0;
  for (let k = 1; k <= end; k++)
    running[k] = running[k - 1] + bins[2 * k] * bins[2 * k] + bins[2 * k + 1] * bins[2 * k + 1];
}
