export function correlationBins(
  bins: Float64Array,
  ofTemplate: Float64Array,
  product: Float64Array,
  count: number,
): void {
  product[0] = 0;
  product[1] = 0;
  for (let k = 2; k < 2 * count; k += 2) {
    product[k] = bins[k] * ofTemplate[k] + bins[k + 1] * ofTemplate[k + 1];
    product[k + 1] = bins[k] * ofTemplate[k + 1] - bins[k + 1] * ofTemplate[k];
  }
}

export function normalisedCorrelation(
  piece: Float32Array,
  correlation: Float64Array,
  normalised: Float32Array,
  scale: number,
  emptyPart: number,
  pieceLength: number,
  length: number,
  count: number,
): void {
  const leastEnergy = emptyPart * energyOf(piece, pieceLength);
  let energy = energyOf(piece, Math.min(length, pieceLength));
  for (let j = 0, n = 0; j < count; j++, n += 2) {
    const power = correlation[2 * j] * correlation[2 * j] + correlation[2 * j + 1] * correlation[2 * j + 1];
    normalised[j] = energy > leastEnergy ? Math.min(1, scale * Math.sqrt(power / energy)) : 0;
    const gone = squareAt(piece, n, pieceLength) + squareAt(piece, n + 1, pieceLength);
    const next = n + length;
    // At the very end there is nothing behind the template: what comes no longer counts.
    const come =
      next + 1 < pieceLength
        ? squareAt(piece, next, pieceLength) + squareAt(piece, next + 1, pieceLength)
        : 0;
    energy = Math.max(0, energy + (come - gone));
  }
}

function squareAt(piece: Float32Array, n: number, length: number): number {
  return n < length ? piece[n] * piece[n] : 0;
}

function energyOf(samples: Float32Array, count: number): number {
  let sum = 0;
  for (let n = 0; n < count; n++) sum += samples[n] * samples[n];
  return sum;
}
