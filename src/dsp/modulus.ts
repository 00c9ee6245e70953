/**
 * Size of a complex number. `Math.hypot` guards against numbers beyond 1e154, which nothing here comes near, at ten times the
 * time and some garbage for every bin.
 */
export function modulus(real: number, imag: number): number {
  return Math.sqrt(real * real + imag * imag);
}
