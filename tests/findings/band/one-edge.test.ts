import { describe, expect, it } from 'vitest';
import { findBand } from '../../../src/findings/band/band.ts';
import { fitTap } from '../../../src/findings/band/fitted-tap.ts';
import type { BandEdge } from '../../../src/model/finding.ts';
import { type ExactTap, exactMeasurement, seeded } from '../exact-responses.ts';

const bandOf = (left: ExactTap, snrDb = 70) =>
  findBand(
    fitTap({
      tapId: 'a',
      carries: 'left',
      measurements: [exactMeasurement({ tapId: 'a', left, snrDb, random: seeded(5) })],
      ceilingHz: null,
    }),
  );
const within = (answer: BandEdge['minus3Hz'], hz: number) =>
  'value' in answer
    ? Math.abs(answer.value / hz - 1) < 0.005 && Math.abs(answer.value - hz) < 3 * answer.plusMinus
    : answer;

describe('one filter of a radio', () => {
  // Butterworth of order n: 3.01 dB at its corner, 6.02 dB at 3^(1/2n) of it further out; Linkwitz-Riley of order 4: 6.02 dB at
  // its corner, 3.01 dB at (sqrt(2) - 1)^(1/4) = 0.8022 of it further in (closed forms).
  it.each([
    ['high-pass', 'butterworth', 1, 200, 1, 3 ** (1 / 2)],
    ['low-pass', 'butterworth', 2, 3000, 1, 3 ** (1 / 4)],
    ['high-pass', 'linkwitz-riley', 4, 300, (Math.SQRT2 - 1) ** (1 / 4), 1],
    ['low-pass', 'linkwitz-riley', 4, 80, (Math.SQRT2 - 1) ** (1 / 4), 1],
  ] as const)(
    'a %s (%s) of order %d at %d Hz has its points, slope and name',
    (side, family, order, cornerHz, at3, at6) => {
      const { verdict, lowEdge, highEdge } = bandOf({ edges: [{ side, family, order, cornerHz }] });
      expect(verdict).toBe('band-limited');
      const [edge, other] = side === 'high-pass' ? [lowEdge, highEdge] : [highEdge, lowEdge];
      expect(other).toBeNull();
      const out = (ratio: number) => (side === 'high-pass' ? cornerHz / ratio : cornerHz * ratio);
      expect(within(edge!.minus3Hz, out(at3))).toBe(true);
      expect(within(edge!.minus6Hz, out(at6))).toBe(true);
      expect(edge!.slopeDbPerOctave).toBe(6 * order);
      expect(edge!.filter).toMatchObject({ family, order });
      expect('cornerHz' in edge!.filter && within(edge!.filter.cornerHz, cornerHz)).toBe(true);
    },
  );

  it('is none of a flat tap, and one with a peak has the peak named', () => {
    expect(bandOf({})).toMatchObject({ verdict: 'full range', lowEdge: null, highEdge: null, fixedEq: [] });
    const peak = { kind: 'peak', frequencyHz: 1000, gainDb: 5, q: 1.5 } as const;
    const { verdict, fixedEq } = bandOf({ eq: [peak] });
    expect(verdict).toBe('full range');
    expect(fixedEq).toEqual([
      expect.objectContaining({
        frequencyHz: expect.closeTo(1000, -1),
        gainDb: expect.closeTo(5, 1),
        q: expect.closeTo(1.5, 1),
      }),
    ]);
  });

  it('has no slope told in noise: 20 dB leave its points alone', () => {
    const { lowEdge } = bandOf(
      { edges: [{ side: 'high-pass', family: 'butterworth', order: 2, cornerHz: 200 }] },
      22,
    );
    expect(lowEdge?.slopeDbPerOctave ?? { notMeasurable: true }).toHaveProperty('notMeasurable');
  });
});
