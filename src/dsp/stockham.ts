/**
 * Complex Fourier transform of a length 2^a, 3 * 2^a or 5 * 2^a: radix-4 passes after Stockham, which sort themselves, then
 * one pass of 2, 3 or 5. Written here because measuring is mostly this, and because it is twice as fast in double precision
 * as the packages there are for it (`npm run bench` prints the ratio to fft.js); `tests/dsp/fft.test.ts` holds it
 * against fft.js and the definition.
 *
 * Source: Van Loan, Computational Frameworks for the Fast Fourier Transform (1992), section 1.7.
 */
export interface ComplexTransform {
  /**
   * Transforms interleaved `data` (real and imaginary part of value k at 2k and 2k + 1) with exp(-2 pi i), unscaled.
   * Overwrites both arrays.
   *
   * @returns the one of the two that holds the result
   */
  transform(data: Float64Array, scratch: Float64Array): Float64Array;
}

export function complexTransform(size: number): ComplexTransform {
  const turns = rootsOfUnity(size);
  return {
    transform(data, scratch) {
      let from = data;
      let to = scratch;
      let stride = 1;
      let rest = size;
      const swap = (radix: number) => {
        [from, to] = [to, from];
        stride *= radix;
        rest /= radix;
      };
      for (; rest % 4 === 0; swap(4)) passOfFour(from, to, { stride, quarter: rest / 4, turns });
      if (rest % 2 === 0) {
        passOfTwo(from, to, { stride, half: rest / 2, turns });
        swap(2);
      }
      if (rest === 1) return from;
      if (rest === 3) lastPassOfThree(from, to, stride);
      else lastPassOfFive(from, to, stride);
      return to;
    },
  };
}

/** exp(-2 pi i k / size), interleaved. */
function rootsOfUnity(size: number): Float64Array {
  const roots = new Float64Array(2 * size);
  for (let k = 0; k < size; k++) {
    roots[2 * k] = Math.cos((2 * Math.PI * k) / size);
    roots[2 * k + 1] = -Math.sin((2 * Math.PI * k) / size);
  }
  return roots;
}

function passOfFour(
  x: Float64Array,
  y: Float64Array,
  { stride, quarter, turns }: { stride: number; quarter: number; turns: Float64Array },
): void {
  const step = 2 * stride;
  const apart = quarter * step;
  for (let p = 0, t = 0; p < quarter; p++, t += step) {
    const c1 = turns[t];
    const s1 = turns[t + 1];
    const c2 = turns[2 * t];
    const s2 = turns[2 * t + 1];
    const c3 = turns[3 * t];
    const s3 = turns[3 * t + 1];
    const end = (p + 1) * step;
    for (let a = p * step, out = 4 * p * step; a < end; a += 2, out += 2) {
      const b = a + apart;
      const c = b + apart;
      const d = c + apart;
      const evenReal = x[a] + x[c];
      const evenImag = x[a + 1] + x[c + 1];
      const evenLessReal = x[a] - x[c];
      const evenLessImag = x[a + 1] - x[c + 1];
      const oddReal = x[b] + x[d];
      const oddImag = x[b + 1] + x[d + 1];
      const oddLessReal = x[b] - x[d];
      const oddLessImag = x[b + 1] - x[d + 1];
      y[out] = evenReal + oddReal;
      y[out + 1] = evenImag + oddImag;
      const real1 = evenLessReal + oddLessImag;
      const imag1 = evenLessImag - oddLessReal;
      y[out + step] = c1 * real1 - s1 * imag1;
      y[out + step + 1] = c1 * imag1 + s1 * real1;
      const real2 = evenReal - oddReal;
      const imag2 = evenImag - oddImag;
      y[out + 2 * step] = c2 * real2 - s2 * imag2;
      y[out + 2 * step + 1] = c2 * imag2 + s2 * real2;
      const real3 = evenLessReal - oddLessImag;
      const imag3 = evenLessImag + oddLessReal;
      y[out + 3 * step] = c3 * real3 - s3 * imag3;
      y[out + 3 * step + 1] = c3 * imag3 + s3 * real3;
    }
  }
}

function passOfTwo(
  x: Float64Array,
  y: Float64Array,
  { stride, half, turns }: { stride: number; half: number; turns: Float64Array },
): void {
  const step = 2 * stride;
  const apart = half * step;
  for (let p = 0; p < half; p++) {
    const cos = turns[p * step];
    const sin = turns[p * step + 1];
    const end = (p + 1) * step;
    for (let a = p * step, out = 2 * p * step; a < end; a += 2, out += 2) {
      const b = a + apart;
      const real = x[a] - x[b];
      const imag = x[a + 1] - x[b + 1];
      y[out] = x[a] + x[b];
      y[out + 1] = x[a + 1] + x[b + 1];
      y[out + step] = cos * real - sin * imag;
      y[out + step + 1] = cos * imag + sin * real;
    }
  }
}

const SIN_THIRD = Math.sin((2 * Math.PI) / 3);

function lastPassOfThree(x: Float64Array, y: Float64Array, stride: number): void {
  const apart = 2 * stride;
  for (let a = 0; a < apart; a += 2) {
    const b = a + apart;
    const c = b + apart;
    const sumReal = x[b] + x[c];
    const sumImag = x[b + 1] + x[c + 1];
    const lessReal = SIN_THIRD * (x[b] - x[c]);
    const lessImag = SIN_THIRD * (x[b + 1] - x[c + 1]);
    const middleReal = x[a] - 0.5 * sumReal;
    const middleImag = x[a + 1] - 0.5 * sumImag;
    y[a] = x[a] + sumReal;
    y[a + 1] = x[a + 1] + sumImag;
    y[b] = middleReal + lessImag;
    y[b + 1] = middleImag - lessReal;
    y[c] = middleReal - lessImag;
    y[c + 1] = middleImag + lessReal;
  }
}

const [COS_FIFTH, SIN_FIFTH] = [Math.cos((2 * Math.PI) / 5), Math.sin((2 * Math.PI) / 5)];
const [COS_TWO_FIFTHS, SIN_TWO_FIFTHS] = [Math.cos((4 * Math.PI) / 5), Math.sin((4 * Math.PI) / 5)];

function lastPassOfFive(x: Float64Array, y: Float64Array, stride: number): void {
  const apart = 2 * stride;
  for (let a = 0; a < apart; a += 2) {
    const b = a + apart;
    const c = b + apart;
    const d = c + apart;
    const e = d + apart;
    const outerReal = x[b] + x[e];
    const outerImag = x[b + 1] + x[e + 1];
    const outerLessReal = x[b] - x[e];
    const outerLessImag = x[b + 1] - x[e + 1];
    const innerReal = x[c] + x[d];
    const innerImag = x[c + 1] + x[d + 1];
    const innerLessReal = x[c] - x[d];
    const innerLessImag = x[c + 1] - x[d + 1];
    const firstReal = x[a] + COS_FIFTH * outerReal + COS_TWO_FIFTHS * innerReal;
    const firstImag = x[a + 1] + COS_FIFTH * outerImag + COS_TWO_FIFTHS * innerImag;
    const firstTurnReal = SIN_FIFTH * outerLessReal + SIN_TWO_FIFTHS * innerLessReal;
    const firstTurnImag = SIN_FIFTH * outerLessImag + SIN_TWO_FIFTHS * innerLessImag;
    const secondReal = x[a] + COS_TWO_FIFTHS * outerReal + COS_FIFTH * innerReal;
    const secondImag = x[a + 1] + COS_TWO_FIFTHS * outerImag + COS_FIFTH * innerImag;
    const secondTurnReal = SIN_TWO_FIFTHS * outerLessReal - SIN_FIFTH * innerLessReal;
    const secondTurnImag = SIN_TWO_FIFTHS * outerLessImag - SIN_FIFTH * innerLessImag;
    y[a] = x[a] + outerReal + innerReal;
    y[a + 1] = x[a + 1] + outerImag + innerImag;
    y[b] = firstReal + firstTurnImag;
    y[b + 1] = firstImag - firstTurnReal;
    y[c] = secondReal + secondTurnImag;
    y[c + 1] = secondImag - secondTurnReal;
    y[d] = secondReal - secondTurnImag;
    y[d + 1] = secondImag + secondTurnReal;
    y[e] = firstReal - firstTurnImag;
    y[e + 1] = firstImag + firstTurnReal;
  }
}
