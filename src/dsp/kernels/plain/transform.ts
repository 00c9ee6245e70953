import FFT from 'fft.js';

const plans = new Map<number, FFT>();

/**
 * fft.js has powers of two: for 3 or 5 times one, that many interleaved parts are transformed one by one and put together
 * by a last pass of 3 or 5.
 *
 * @param turns exp(-2 pi i k / size), interleaved
 * @returns 0 where the result is in `data`, 1 where it is in `scratch`; both are overwritten
 */
export function transform(
  data: Float64Array,
  scratch: Float64Array,
  turns: Float64Array,
  size: number,
): number {
  const parts = size % 5 === 0 ? 5 : size % 3 === 0 ? 3 : 1;
  const length = size / parts;
  const plan = planOf(length);
  const part = new Float64Array(2 * length);
  for (let p = 0; p < parts; p++) {
    for (let k = 0; k < length; k++) {
      part[2 * k] = data[2 * (k * parts + p)];
      part[2 * k + 1] = data[2 * (k * parts + p) + 1];
    }
    plan.transform(scratch.subarray(2 * p * length, 2 * (p + 1) * length), part);
  }
  if (parts === 1) return 1;
  for (let bin = 0; bin < size; bin++) {
    let real = 0;
    let imag = 0;
    for (let p = 0; p < parts; p++) {
      const from = 2 * (p * length + (bin % length));
      const turn = 2 * ((p * bin) % size);
      real += scratch[from] * turns[turn] - scratch[from + 1] * turns[turn + 1];
      imag += scratch[from] * turns[turn + 1] + scratch[from + 1] * turns[turn];
    }
    data[2 * bin] = real;
    data[2 * bin + 1] = imag;
  }
  return 0;
}

function planOf(size: number): FFT {
  let plan = plans.get(size);
  if (plan === undefined) {
    plan = new FFT(size);
    plans.set(size, plan);
  }
  return plan;
}

/** @param unpacking cos and -sin of pi k / half, interleaved */
export function unpackReal(
  packed: Float64Array,
  bins: Float64Array,
  unpacking: Float64Array,
  half: number,
): void {
  const [first, second] = [packed[0], packed[1]];
  for (let k = 1; k <= half / 2; k++) {
    const a = 2 * k;
    const b = 2 * (half - k);
    const evenReal = 0.5 * (packed[a] + packed[b]);
    const evenImag = 0.5 * (packed[a + 1] - packed[b + 1]);
    const oddReal = 0.5 * (packed[a + 1] + packed[b + 1]);
    const oddImag = 0.5 * (packed[b] - packed[a]);
    const turnedReal = unpacking[a] * oddReal - unpacking[a + 1] * oddImag;
    const turnedImag = unpacking[a] * oddImag + unpacking[a + 1] * oddReal;
    bins[a] = evenReal + turnedReal;
    bins[a + 1] = evenImag + turnedImag;
    bins[b] = evenReal - turnedReal;
    bins[b + 1] = turnedImag - evenImag;
  }
  bins[0] = first + second;
  bins[1] = 0;
  bins[2 * half] = first - second;
  bins[2 * half + 1] = 0;
}

export function packReal(
  bins: Float64Array,
  packed: Float64Array,
  unpacking: Float64Array,
  half: number,
): void {
  const [first, last] = [bins[0], bins[2 * half]];
  for (let k = 1; k <= half / 2; k++) {
    const a = 2 * k;
    const b = 2 * (half - k);
    const evenReal = 0.5 * (bins[a] + bins[b]);
    const evenImag = 0.5 * (bins[a + 1] - bins[b + 1]);
    const turnedReal = 0.5 * (bins[a] - bins[b]);
    const turnedImag = 0.5 * (bins[a + 1] + bins[b + 1]);
    const oddReal = unpacking[a] * turnedReal + unpacking[a + 1] * turnedImag;
    const oddImag = unpacking[a] * turnedImag - unpacking[a + 1] * turnedReal;
    packed[a] = evenReal - oddImag;
    packed[a + 1] = evenImag + oddReal;
    packed[b] = evenReal + oddImag;
    packed[b + 1] = oddReal - evenImag;
  }
  packed[0] = 0.5 * (first + last);
  packed[1] = 0.5 * (first - last);
}

export function turnRound(turned: Float64Array, target: Float64Array, scale: number, size: number): void {
  for (let n = 0, from = 0; n < size; n++, from = 2 * (size - n)) {
    target[2 * n] = scale * turned[from];
    target[2 * n + 1] = scale * turned[from + 1];
  }
}
