/** b0 s^2 + b1 s + b2 over a0 s^2 + a1 s + a2 with the corner at 1 rad/s; order 1 has a0 = b0 = 0. */
export interface AnalogSection {
  readonly b: readonly [number, number, number];
  readonly a: readonly [number, number, number];
}
