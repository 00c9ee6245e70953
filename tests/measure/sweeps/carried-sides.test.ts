import { expect, it } from 'vitest';
import { carriedSides } from '../../../src/measure/sweeps/carried-sides.ts';
import { exactResponse } from '../exact-response.ts';

const sides = (left: object, right: object) => ({
  left: exactResponse(left),
  right: exactResponse({ seed: 2, ...right }),
});

const alike = { leftDb: -20, rightDb: -20 };

it('a side that lies more than 20 dB below the other is crosstalk, and nothing heard is nothing', () => {
  const carried = (leftDb: number | null, rightDb: number | null) =>
    carriedSides({ leftDb, rightDb }, sides({}, {}));
  expect(carried(-10, -10)).toBe('left and right');
  expect(carried(-10, -29.9)).toBe('left and right');
  expect(carried(-10, -30.1)).toBe('left');
  expect(carried(-30.1, -10)).toBe('right');
  expect(carried(-60, null)).toBe('left');
  expect(carried(null, -60)).toBe('right');
  expect(carried(null, null)).toBe('nothing');
});

it('a tap plays a difference where its sides are opposed in its pass band, however weak or late one is.', () => {
  const isDifference = (both: ReturnType<typeof sides>) => carriedSides(alike, both) === 'difference';
  expect(isDifference(sides({}, { gain: -1 }))).toBe(true);
  expect(isDifference(sides({}, { gain: -0.2 }))).toBe(true);
  expect(isDifference(sides({ gain: -1 }, { gain: -1 }))).toBe(false);
  expect(isDifference(sides({}, { gain: 1 }))).toBe(false);
  // Whatever the phase of both, early or late.
  const turned = { at: () => ({ real: 0, imag: 1 }) };
  expect(isDifference(sides(turned, { ...turned, gain: -0.2 }))).toBe(true);
  expect(isDifference(sides(turned, { ...turned, gain: 0.2 }))).toBe(false);
  // A quarter of a turn is neither: cos 90 degrees.
  expect(isDifference(sides({}, { at: () => ({ real: 0, imag: 1 }) }))).toBe(false);
  // What lies 10 dB and more below the pass band does not count.
  const highs = (below: number) => (hz: number) => ({ real: hz < 3000 ? below : 1, imag: 0 });
  expect(isDifference(sides({ at: highs(0.1) }, { at: highs(-0.1) }))).toBe(false);
  // However much of it there is: 11 dB under the top third of an octave, everywhere else.
  const top = (below: number) => (hz: number) => ({ real: hz < 15_000 ? below : 1, imag: 0 });
  expect(isDifference(sides({ at: top(0.28) }, { at: top(-0.28) }))).toBe(false);
  expect(isDifference(sides({ at: top(0.35) }, { at: top(-0.35) }))).toBe(true);
});
