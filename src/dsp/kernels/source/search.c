// The search for takes: correlation of a recording at a low rate with the sweeps of a track.
#include "vectors.h"

// Positive half of the spectrum of a correlation, conjugated: `count` bins, the first of them zero.
KERNEL("correlationBins") void correlation_bins(const pair *bins, const pair *of_template, pair *product, int count) {
  product[0] = (pair){};
  for (int k = 1; k < count; k++) product[k] = times_conjugate(of_template[k], bins[k]);
}

static inline double energy_of(const float *samples, int count) {
  double sum = 0;
  for (int n = 0; n < count; n++) sum += (double)samples[n] * samples[n];
  return sum;
}

// Size of each value of a correlation over the energy that the piece has under a template of `length` samples there; the
// correlation has a value for every second sample. Energy below `empty_part` of the whole piece's counts as none.
KERNEL("normalisedCorrelation")
void normalised_correlation(const float *piece, const pair *correlation, float *normalised, double scale, double empty_part, int piece_length, int length, int count) {
  const double least = empty_part * energy_of(piece, piece_length);
  double energy = energy_of(piece, length < piece_length ? length : piece_length);
  for (int j = 0, n = 0; j < count; j++, n += 2) {
    const double power = sum_of(correlation[j] * correlation[j]);
    const double like = energy > least ? scale * __builtin_sqrt(power / energy) : 0;
    normalised[j] = like < 1 ? like : 1;
    const double first = piece[n], second = n + 1 < piece_length ? piece[n + 1] : 0;
    const int next = n + length;
    // At the very end there is nothing behind the template: what comes no longer counts.
    const double come = next + 1 < piece_length ? (double)piece[next] * piece[next] + (double)piece[next + 1] * piece[next + 1] : 0;
    energy += come - (first * first + second * second);
    if (energy < 0) energy = 0;
  }
}
