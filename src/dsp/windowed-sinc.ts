/** Normalised: zero at every whole number but 0. */
export function sinc(x: number): number {
  return x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
}

/** Kaiser window at x from -1 to 1, 1 in the middle, 0 outside. */
export function kaiser(x: number, beta: number): number {
  return Math.abs(x) > 1 ? 0 : besselI0(beta * Math.sqrt(1 - x * x)) / besselI0(beta);
}

/** Modified Bessel function of the first kind, order 0 (power series, Abramowitz and Stegun 9.6.12). */
function besselI0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > 1e-17 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}
