// Complex Fourier transform of 2^a, 3 * 2^a or 5 * 2^a values: radix-4 passes after Stockham, which sort themselves, then one
// pass of 2, 3 or 5. Source: Van Loan, Computational Frameworks for the Fast Fourier Transform (1992), section 1.7.
#include "vectors.h"

// `turns` holds exp(-2 pi i k / size) for the whole transform.
static inline __attribute__((always_inline)) void
pass_of_four(const pair *restrict x, pair *restrict y, int stride, int quarter, const pair *restrict turns) {
  const int apart = quarter * stride;
  for (int p = 0; p < quarter; p++) {
    const int t = p * stride;
    const pair turn1 = turns[t], turn2 = turns[2 * t], turn3 = turns[3 * t];
    const pair *in = x + t;
    pair *out = y + 4 * t;
    for (int q = 0; q < stride; q++) {
      const pair a = in[q], b = in[q + apart], c = in[q + 2 * apart], d = in[q + 3 * apart];
      const pair even = a + c, even_less = a - c, odd = b + d, odd_less = turned_back(b - d);
      out[q] = even + odd;
      out[q + stride] = times(even_less + odd_less, turn1);
      out[q + 2 * stride] = times(even - odd, turn2);
      out[q + 3 * stride] = times(even_less - odd_less, turn3);
    }
  }
}

static void last_pass_of_two(const pair *restrict x, pair *restrict y, int stride) {
  for (int q = 0; q < stride; q++) {
    const pair a = x[q], b = x[q + stride];
    y[q] = a + b;
    y[q + stride] = a - b;
  }
}

static void pass_of_two(const pair *restrict x, pair *restrict y, int stride, int half, const pair *restrict turns) {
  for (int p = 0; p < half; p++) {
    const int t = p * stride;
    for (int q = 0; q < stride; q++) {
      const pair a = x[t + q], b = x[t + q + half * stride];
      y[2 * t + q] = a + b;
      y[2 * t + q + stride] = times(a - b, turns[t]);
    }
  }
}

static void last_pass_of_three(const pair *restrict x, pair *restrict y, int stride) {
  const double sin_third = 0.86602540378443864676;
  for (int q = 0; q < stride; q++) {
    const pair a = x[q], b = x[q + stride], c = x[q + 2 * stride];
    const pair sum = b + c, middle = a - 0.5 * sum, less = turned_back(sin_third * (b - c));
    y[q] = a + sum;
    y[q + stride] = middle + less;
    y[q + 2 * stride] = middle - less;
  }
}

static void last_pass_of_five(const pair *restrict x, pair *restrict y, int stride) {
  const double cos1 = 0.30901699437494742410, sin1 = 0.95105651629515357212;
  const double cos2 = -0.80901699437494742410, sin2 = 0.58778525229247312917;
  for (int q = 0; q < stride; q++) {
    const pair a = x[q], b = x[q + stride], c = x[q + 2 * stride], d = x[q + 3 * stride], e = x[q + 4 * stride];
    const pair outer = b + e, inner = c + d, outer_less = turned_back(b - e), inner_less = turned_back(c - d);
    const pair first = a + cos1 * outer + cos2 * inner, first_turn = sin1 * outer_less + sin2 * inner_less;
    const pair second = a + cos2 * outer + cos1 * inner, second_turn = sin2 * outer_less - sin1 * inner_less;
    y[q] = a + outer + inner;
    y[q + stride] = first + first_turn;
    y[q + 2 * stride] = second + second_turn;
    y[q + 3 * stride] = second - second_turn;
    y[q + 4 * stride] = first - first_turn;
  }
}

// Overwrites both arrays; answers 0 where the result is in `data`, 1 where it is in `scratch`.
KERNEL("transform") int transform(pair *data, pair *scratch, const pair *turns, int size) {
  pair *from = data, *to = scratch;
  int stride = 1, rest = size;
  while (rest > 1) {
    int radix = rest % 4 == 0 ? 4 : rest % 2 == 0 ? 2 : rest;
    // The strides of the first passes are known to the compiler: their inner loops are short.
    if (radix == 4 && stride == 1) pass_of_four(from, to, 1, rest / 4, turns);
    else if (radix == 4 && stride == 4) pass_of_four(from, to, 4, rest / 4, turns);
    else if (radix == 4) pass_of_four(from, to, stride, rest / 4, turns);
    else if (rest == 2) last_pass_of_two(from, to, stride);
    else if (radix == 2) pass_of_two(from, to, stride, rest / 2, turns);
    else if (radix == 3) last_pass_of_three(from, to, stride);
    else last_pass_of_five(from, to, stride);
    pair *other = from;
    from = to;
    to = other;
    stride *= radix;
    rest /= radix;
  }
  return from == scratch;
}

// Even and odd real samples were transformed as one complex signal of `half` values; this takes the two apart into half + 1 bins.
KERNEL("unpackReal") void unpack_real(const pair *packed, pair *bins, const pair *unpacking, int half) {
  const pair first = packed[0];
  for (int k = 1; k <= half / 2; k++) {
    const pair a = packed[k], b = conjugate(packed[half - k]);
    const pair even = 0.5 * (a + b), odd = times(turned_back(0.5 * (a - b)), unpacking[k]);
    bins[k] = even + odd;
    bins[half - k] = conjugate(even - odd);
  }
  bins[0] = (pair){first[0] + first[1], 0};
  bins[half] = (pair){first[0] - first[1], 0};
}

// The way back: half + 1 bins of real samples as those of one complex signal of `half` values.
KERNEL("packReal") void pack_real(const pair *bins, pair *packed, const pair *unpacking, int half) {
  const double first = bins[0][0], last = bins[half][0];
  for (int k = 1; k <= half / 2; k++) {
    const pair a = bins[k], b = conjugate(bins[half - k]);
    const pair even = 0.5 * (a + b), odd = turned_back(times_conjugate(0.5 * (a - b), unpacking[k]));
    packed[k] = even - odd;
    packed[half - k] = conjugate(even + odd);
  }
  packed[0] = 0.5 * (pair){first + last, first - last};
}

// The inverse is the transform with its output turned round: value n of the one is value size - n of the other, scaled.
KERNEL("turnRound") void turn_round(const pair *restrict turned, pair *restrict target, double scale, int size) {
  target[0] = scale * turned[0];
  for (int n = 1; n < size; n++) target[n] = scale * turned[size - n];
}
