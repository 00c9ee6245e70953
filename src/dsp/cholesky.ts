/** Lower triangle L of a positive definite matrix A = L L', row by row in one array; null where A is not positive definite. */
export function choleskyFactor(matrix: Float64Array, size: number): Float64Array | null {
  const factor = new Float64Array(size * size);
  for (let row = 0; row < size; row++) {
    for (let column = 0; column <= row; column++) {
      let sum = matrix[row * size + column];
      for (let k = 0; k < column; k++) sum -= factor[row * size + k] * factor[column * size + k];
      if (row > column) factor[row * size + column] = sum / factor[column * size + column];
      else if (sum > 0) factor[row * size + row] = Math.sqrt(sum);
      else return null;
    }
  }
  return factor;
}

/** x of A x = b, from the factor of A. */
export function choleskySolve(factor: Float64Array, right: ArrayLike<number>): Float64Array {
  const size = right.length;
  const x = Float64Array.from(right);
  for (let row = 0; row < size; row++) {
    for (let k = 0; k < row; k++) x[row] -= factor[row * size + k] * x[k];
    x[row] /= factor[row * size + row];
  }
  for (let row = size - 1; row >= 0; row--) {
    for (let k = row + 1; k < size; k++) x[row] -= factor[k * size + row] * x[k];
    x[row] /= factor[row * size + row];
  }
  return x;
}

/** Inverse of A, row by row, from its factor. */
export function choleskyInverse(factor: Float64Array, size: number): Float64Array {
  const inverse = new Float64Array(size * size);
  for (let column = 0; column < size; column++) {
    const unit = new Float64Array(size);
    unit[column] = 1;
    choleskySolve(factor, unit).forEach((value, row) => {
      inverse[row * size + column] = value;
    });
  }
  return inverse;
}
