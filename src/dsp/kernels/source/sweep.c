// Division of a recorded sweep by the one that was played, and smoothing along frequency; spectra are complex bins.
#include "vectors.h"

// Samples less their mean, as doubles.
KERNEL("centre") void centre(const float *samples, double *target, int count) {
  pair sum0 = {}, sum1 = {};
  int n = 0;
  for (; n + 4 <= count; n += 4) {
    sum0 += (pair){samples[n], samples[n + 1]};
    sum1 += (pair){samples[n + 2], samples[n + 3]};
  }
  double sum = sum_of(sum0 + sum1);
  for (; n < count; n++) sum += samples[n];
  const double mean = sum / count;
  for (n = 0; n < count; n++) target[n] = samples[n] - mean;
}

KERNEL("multiplyByConjugate") void multiply_by_conjugate(pair *bins, const pair *by, int count) {
  for (int k = 0; k < count; k++) bins[k] = times_conjugate(bins[k], by[k]);
}

// How bins turn between those `lag` apart (real and imaginary part), and their power: three sums.
KERNEL("turnBetween") void turn_between(const pair *bins, double *sums, int from, int end, int lag) {
  pair turn0 = {}, turn1 = {}, power0 = {}, power1 = {};
  int k = from;
  for (; k + 2 <= end; k += 2) {
    turn0 += times_conjugate(bins[k + lag], bins[k]);
    turn1 += times_conjugate(bins[k + 1 + lag], bins[k + 1]);
    power0 += bins[k] * bins[k];
    power1 += bins[k + 1] * bins[k + 1];
  }
  if (k < end) {
    turn0 += times_conjugate(bins[k + lag], bins[k]);
    power0 += bins[k] * bins[k];
  }
  const pair turn = turn0 + turn1;
  sums[0] = turn[0];
  sums[1] = turn[1];
  sums[2] = sum_of(power0 + power1);
}

// Turns bin k by the angle k * radians, from bin `first` to before `end`. `steps` holds the turns of bins `first` and
// `first` + 1, and the turn from one bin to the next but one.
KERNEL("turnBack") void turn_back(const pair *restrict bins, pair *restrict target, const pair *steps, int first, int end) {
  pair even = steps[0], odd = steps[1];
  const pair step = steps[2];
  int k = first;
  for (; k + 2 <= end; k += 2) {
    target[k] = times(bins[k], even);
    target[k + 1] = times(bins[k + 1], odd);
    even = times(even, step);
    odd = times(odd, step);
  }
  if (k < end) target[k] = times(bins[k], even);
}

// The same, and each block of 8 bins summed. `inBlock` holds the turns within a block, `steps` those of block `first` and from
// one block to the next.
KERNEL("turnBackInBlocks")
void turn_back_in_blocks(const pair *restrict bins, pair *restrict blocks, const pair *inBlock, const pair *steps, int first, int end) {
  pair turn = steps[0];
  for (int b = first; b < end; b++) {
    const pair *in = bins + 8 * b;
    pair sum0 = {}, sum1 = {};
    for (int j = 0; j < 8; j += 2) {
      sum0 += times(in[j], inBlock[j]);
      sum1 += times(in[j + 1], inBlock[j + 1]);
    }
    blocks[b] = times(sum0 + sum1, turn);
    turn = times(turn, steps[1]);
  }
}

// Weighted sums of bins, for the frequencies from `from` to before `to`: that of frequency i begins at bin firsts[i] with the
// weights from starts[i] to before starts[i + 1].
KERNEL("weightedSums")
void weighted_sums(const pair *bins, const double *weights, const int *starts, const int *firsts, pair *sums, int from, int to) {
  for (int i = from; i < to; i++) {
    const double *weight = weights + starts[i];
    const pair *in = bins + firsts[i];
    const int count = starts[i + 1] - starts[i];
    pair sum0 = {}, sum1 = {};
    int j = 0;
    for (; j + 2 <= count; j += 2) {
      sum0 += both(weight[j]) * in[j];
      sum1 += both(weight[j + 1]) * in[j + 1];
    }
    if (j < count) sum0 += both(weight[j]) * in[j];
    sums[i] = sum0 + sum1;
  }
}

// Running sums, up to bin `end`, of the power by which the second difference of bins * factor jumps, times `power`.
KERNEL("sumJumps")
void sum_jumps(const pair *bins, const double *factor, const double *power, double *running, int end) {
  double sum = 0;
  pair before = bins[1] * both(factor[1]), here = bins[2] * both(factor[2]);
  running[1] = 0;
  for (int k = 2; k <= end; k++) {
    const pair after = bins[k + 1] * both(factor[k + 1]);
    const pair jump = after - 2.0 * here + before;
    sum += sum_of(jump * jump) * power[k];
    running[k] = sum;
    before = here;
    here = after;
  }
}

// Quotient of bins and stimulus from bin `first` to before `end`, by its power; zero elsewhere, `count` bins in all.
KERNEL("divide")
void divide(const pair *bins, const pair *stimulus, const double *inverse_power, pair *quotient, int first, int end, int count) {
  for (int k = 0; k < first; k++) quotient[k] = (pair){};
  for (int k = first; k < end; k++) quotient[k] = both(inverse_power[k]) * times_conjugate(bins[k], stimulus[k]);
  for (int k = end; k < count; k++) quotient[k] = (pair){};
}

// Bins less the product of stimulus and response from bin `first` to before `end`; zero elsewhere, `count` bins in all.
KERNEL("subtractProduct")
void subtract_product(pair *bins, const pair *stimulus, const pair *response, int first, int end, int count) {
  for (int k = 0; k < first; k++) bins[k] = (pair){};
  for (int k = first; k < end; k++) bins[k] -= times(response[k], stimulus[k]);
  for (int k = end; k < count; k++) bins[k] = (pair){};
}

// Running sums of the power of bins 1 to `end`.
KERNEL("runningPower") void running_power(const pair *bins, double *running, int end) {
  double sum = 0;
  running[0] = 0;
  for (int k = 1; k <= end; k++) {
    sum += sum_of(bins[k] * bins[k]);
    running[k] = sum;
  }
}
