// What is done with every sample of a recording.
#include <stdint.h>

#include "vectors.h"

// One channel of `count` frames, 1 being full scale. `first` is the byte where its first sample begins, `stride` the bytes from
// one frame to the next; samples from index `to` on are filled.
#define DECODE(name, read)                                                                                             \
  KERNEL(name) void decode_##read(const uint8_t *bytes, float *samples, int first, int stride, int to, int count) {    \
    const uint8_t *in = bytes + first;                                                                                 \
    float *out = samples + to;                                                                                         \
    for (int n = 0; n < count; n++, in += stride) out[n] = read(in);                                                   \
  }

typedef int32_t int32_anywhere __attribute__((aligned(1)));
typedef int16_t int16_anywhere __attribute__((aligned(1)));
typedef float float_anywhere __attribute__((aligned(1)));
typedef double double_anywhere __attribute__((aligned(1)));

// Unsigned, 128 is silence.
static inline float uint8_at(const uint8_t *in) { return (*in - 128) * 0x1p-7f; }
static inline float int16_at(const uint8_t *in) { return *(const int16_anywhere *)in * 0x1p-15f; }
// One byte of the next sample is read and moved out; memory goes on behind every buffer.
static inline float int24_at(const uint8_t *in) {
  return (int32_t)((uint32_t)*(const int32_anywhere *)in << 8) * 0x1p-31f;
}
static inline float int32_at(const uint8_t *in) { return *(const int32_anywhere *)in * 0x1p-31f; }
// Infinities and what is no number would spoil everything downstream.
static inline float float32_at(const uint8_t *in) {
  const float value = *(const float_anywhere *)in;
  return value - value == 0 ? value : 0;
}
static inline float float64_at(const uint8_t *in) {
  const float value = *(const double_anywhere *)in; // rounded first: what 32 bits cannot hold becomes an infinity
  return value - value == 0 ? value : 0;
}

DECODE("decodeUint8", uint8_at)
DECODE("decodeInt16", int16_at)
DECODE("decodeInt24", int24_at)
DECODE("decodeInt32", int32_at)
DECODE("decodeFloat32", float32_at)
DECODE("decodeFloat64", float64_at)

typedef float four __attribute__((vector_size(16), aligned(4)));

// The largest size of a sample; their sum goes to sum[0].
KERNEL("extent") double extent(const float *samples, double *sum, int count) {
  four peak = {};
  pair sum0 = {}, sum1 = {};
  int n = 0;
  for (; n + 4 <= count; n += 4) {
    const four x = *(const four *)(samples + n);
    const four size = (four)((int __attribute__((vector_size(16))))x & 0x7fffffff);
    peak = __builtin_wasm_max_f32x4(peak, size);
    sum0 += (pair){x[0], x[1]};
    sum1 += (pair){x[2], x[3]};
  }
  double most = 0, total = sum_of(sum0 + sum1);
  for (int j = 0; j < 4; j++)
    if (peak[j] > most) most = peak[j];
  for (; n < count; n++) {
    const double size = samples[n] < 0 ? -samples[n] : samples[n];
    if (size > most) most = size;
    total += samples[n];
  }
  sum[0] = total;
  return most;
}

// Every `factor`-th sample of what passes the filter, `count` of them, without looking before the first sample.
KERNEL("decimate")
void decimate(const float *samples, const double *taps, float *out, int tap_count, int factor, int count) {
  for (int j = 0; j < count; j++) {
    const float *in = samples + j * factor;
    pair sum0 = {}, sum1 = {};
    int i = 0;
    for (; i + 4 <= tap_count; i += 4) {
      sum0 += *(const pair *)(taps + i) * (pair){in[i], in[i + 1]};
      sum1 += *(const pair *)(taps + i + 2) * (pair){in[i + 2], in[i + 3]};
    }
    double sum = sum_of(sum0 + sum1);
    for (; i < tap_count; i++) sum += taps[i] * in[i];
    out[j] = sum;
  }
}

// Energy of whole frames of `length` samples.
#define FRAME_ENERGY(name, type)                                                                              \
  KERNEL(name) void frame_energy_of_##type(const type *samples, double *energy, int length, int frames) {     \
    for (int f = 0; f < frames; f++) {                                                                        \
      const type *in = samples + f * length;                                                                  \
      pair sum0 = {}, sum1 = {};                                                                              \
      int n = 0;                                                                                              \
      for (; n + 4 <= length; n += 4) {                                                                       \
        const pair a = {in[n], in[n + 1]}, b = {in[n + 2], in[n + 3]};                                        \
        sum0 += a * a;                                                                                        \
        sum1 += b * b;                                                                                        \
      }                                                                                                       \
      double sum = sum_of(sum0 + sum1);                                                                       \
      for (; n < length; n++) sum += (double)in[n] * in[n];                                                   \
      energy[f] = sum;                                                                                        \
    }                                                                                                         \
  }

FRAME_ENERGY("frameEnergy", double)
FRAME_ENERGY("frameEnergyOfFloats", float)
