// Tones: fits of a tone and its harmonics, taking tones out, amplitudes, and power spectra of noise.
#include "vectors.h"

static inline double dot(const double *a, const double *b, int count) {
  pair sum0 = {}, sum1 = {};
  int n = 0;
  for (; n + 4 <= count; n += 4) {
    sum0 += *(const pair *)(a + n) * *(const pair *)(b + n);
    sum1 += *(const pair *)(a + n + 2) * *(const pair *)(b + n + 2);
  }
  double sum = sum_of(sum0 + sum1);
  for (; n < count; n++) sum += a[n] * b[n];
  return sum;
}

// Folds `length` samples around their middle into their sums `even` and differences `odd`; answers their power.
KERNEL("fold") double fold(const float *samples, double *even, double *odd, int start, int length) {
  const int half = (length + 1) / 2;
  const float *later = samples + start + length / 2, *earlier = samples + start + half - 1;
  double power = 0;
  for (int n = 0; n < half; n++) {
    const double a = later[n], b = earlier[-n];
    even[n] = a + b;
    odd[n] = a - b;
    power += a * a + b * b;
  }
  if (length % 2 == 1) {
    const double middle = later[0];
    even[0] = middle;
    power -= middle * middle;
  }
  return power;
}

// The product of each of `count` waves, which lie one behind the other, with the same values.
KERNEL("products") void products(const double *waves, const double *values, double *sums, int length, int count) {
  for (int w = 0; w < count; w++) sums[w] = dot(waves + w * length, values, length);
}

// Sums of samples times a tone. The tone within a block of `block` samples is in `wave`; `turns` tells where each block
// begins on it.
KERNEL("toneSums")
void tone_sums(const double *samples, const pair *wave, const pair *turns, double *sums, int count, int block) {
  pair total = {};
  for (int from = 0, b = 0; from < count; from += block, b++) {
    const int length = count - from < block ? count - from : block;
    pair sum0 = {}, sum1 = {};
    int j = 0;
    for (; j + 2 <= length; j += 2) {
      sum0 += both(samples[from + j]) * wave[j];
      sum1 += both(samples[from + j + 1]) * wave[j + 1];
    }
    if (j < length) sum0 += both(samples[from + j]) * wave[j];
    total += times(sum0 + sum1, turns[b]);
  }
  sums[0] = total[0];
  sums[1] = total[1];
}

// Takes real cos + imag sin of such a tone out of the samples.
KERNEL("takeOutTone")
void take_out_tone(double *samples, const pair *wave, const pair *turns, double real, double imag, int count, int block) {
  for (int from = 0, b = 0; from < count; from += block, b++) {
    const int length = count - from < block ? count - from : block;
    const pair amplitude = times_conjugate((pair){real, imag}, turns[b]);
    for (int j = 0; j < length; j++) samples[from + j] -= sum_of(amplitude * wave[j]);
  }
}

KERNEL("multiply") void multiply(const float *samples, const double *by, double *product, int count) {
  for (int n = 0; n < count; n++) product[n] = samples[n] * by[n];
}

// Power of bins 1 to before `count`, scaled; that of bin 0 counts as 0.
KERNEL("scaledPower") void scaled_power(const pair *bins, double *power, double scale, int count) {
  power[0] = 0;
  for (int k = 1; k < count; k++) power[k] = scale * sum_of(bins[k] * bins[k]);
}

// Sum of values from `from` on, and their sum with weights.
KERNEL("bandSums") void band_sums(const double *values, const double *weights, double *sums, int from, int count) {
  double plain = 0, weighted = 0;
  pair plain0 = {}, weighted0 = {};
  int n = 0;
  for (; n + 2 <= count; n += 2) {
    const pair value = *(const pair *)(values + from + n);
    plain0 += value;
    weighted0 += *(const pair *)(weights + n) * value;
  }
  if (n < count) {
    plain = values[from + n];
    weighted = weights[n] * values[from + n];
  }
  sums[0] = plain + sum_of(plain0);
  sums[1] = weighted + sum_of(weighted0);
}

// Sums of the real parts of phasors, which are all turned on after each of `steps` sums.
KERNEL("phasorSums")
void phasor_sums(double *real, double *imag, const double *cosine, const double *sine, double *sums, int count, int steps) {
  for (int j = 0; j < steps; j++) {
    pair sum = {};
    int i = 0;
    for (; i + 2 <= count; i += 2) {
      pair *re = (pair *)(real + i), *im = (pair *)(imag + i);
      const pair x = *re, y = *im, c = *(const pair *)(cosine + i), s = *(const pair *)(sine + i);
      sum += x;
      *re = x * c - y * s;
      *im = x * s + y * c;
    }
    sums[j] = sum_of(sum);
    if (i == count) continue;
    const double x = real[i], y = imag[i];
    sums[j] += x;
    real[i] = x * cosine[i] - y * sine[i];
    imag[i] = x * sine[i] + y * cosine[i];
  }
}
