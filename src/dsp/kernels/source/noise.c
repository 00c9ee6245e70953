// Seeded noise, added to every sample of a simulated recording. The same numbers as src/dsp/random.ts draws one at a time.
#include <stdint.h>

#include "vectors.h"

#define STRIPS 128
#define STEP 0x6d2b79f5u

// mulberry32.
static inline uint32_t scrambled(uint32_t state) {
  uint32_t bits = (state ^ (state >> 15)) * (1 | state);
  bits = (bits + (bits ^ (bits >> 7)) * (61 | bits)) ^ bits;
  return bits ^ (bits >> 14);
}

// Of numbers within +-2, where the series ends below 1e-17.
static inline double exponential(double x) {
  double sum = 1;
  for (int k = 27; k > 0; k--) sum = 1 + sum * x / k;
  return sum;
}

// Adds sigma times normal numbers from `from` to before `to` (ziggurat). `strips` holds the 129 edges of the strips, then the 128
// ratios of each to the one before. Stops at a number of the tail, which needs a logarithm, and answers where.
KERNEL("addGaussian")
int add_gaussian(double *samples, const double *strips, int32_t *state, double sigma, int from, int to) {
  const double *edges = strips, *ratios = strips + STRIPS + 1;
  uint32_t here = *state;
  int n = from;
  while (n < to) {
    here += STEP;
    const uint32_t draw = scrambled(here);
    const int strip = draw & (STRIPS - 1);
    const double place = (double)(int32_t)(draw >> 7) / 0x1p24 - 1;
    const double x = place * edges[strip];
    if (__builtin_fabs(place) >= ratios[strip]) {
      if (strip == 0) break;
      const double inner = exponential(-0.5 * (edges[strip + 1] * edges[strip + 1] - x * x));
      const double outer = exponential(-0.5 * (edges[strip] * edges[strip] - x * x));
      here += STEP;
      if (outer + scrambled(here) / 0x1p32 * (inner - outer) >= 1) continue;
    }
    samples[n++] += sigma * x;
  }
  *state = here;
  return n;
}

// Rounds to steps of 1 / full_scale with triangular dither, and clips at full scale.
KERNEL("dither") void dither(const double *samples, float *out, int32_t *state, double full_scale, int count) {
  const uint32_t start = *state;
  for (int n = 0; n < count; n++) {
    const uint32_t draw = scrambled(start + (n + 1) * STEP);
    const double triangular = (double)((int32_t)(draw & 0xffff) - (int32_t)(draw >> 16)) / 0x1p16;
    double step = __builtin_floor(samples[n] * full_scale + triangular + 0.5);
    step = step > full_scale - 1 ? full_scale - 1 : step;
    step = step < -full_scale ? -full_scale : step;
    out[n] = step / full_scale;
  }
  *state = start + count * STEP;
}
