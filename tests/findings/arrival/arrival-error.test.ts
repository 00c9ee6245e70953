import { describe, expect, it } from 'vitest';
import { modelErrorSeconds } from '../../../src/findings/arrival/arrival-error.ts';
import { findTiming } from '../../../src/findings/arrival/timing.ts';
import type { FittedTap } from '../../../src/findings/band/fitted-tap.ts';

interface Given {
  readonly tapId?: string;
  readonly rangeHz?: readonly [number, number];
  readonly low?: { readonly order: number; readonly cornerHz: number };
  readonly high?: { readonly order: number; readonly cornerHz: number };
  /** Peaks beside the edges, one of each gain, around this frequency. */
  readonly eq?: { readonly aroundHz: number; readonly gainsDb: readonly number[] };
}

/** A fit of Butterworth edges and peaks that leaves nothing, over a range of frequencies. */
function fitted({ tapId = 'a', rangeHz = [20, 19_000], low, high, eq }: Given): FittedTap {
  const shapeOf = (side: 'low-pass' | 'high-pass', order: number) =>
    ({ kind: 'edge', side, family: 'butterworth', order }) as const;
  const edges = [
    ...(low === undefined ? [] : [{ shape: shapeOf('high-pass', low.order), cornerHz: low.cornerHz }]),
    ...(high === undefined ? [] : [{ shape: shapeOf('low-pass', high.order), cornerHz: high.cornerHz }]),
  ];
  const peaks = eq?.gainsDb ?? [];
  return {
    tapId,
    carries: 'left',
    measurements: [],
    average: { takes: [] },
    data: { frequencyHz: Float64Array.from(rangeHz) },
    best: {
      low: low === undefined ? null : edges[0].shape,
      high: high === undefined ? null : edges[edges.length - 1].shape,
      extras: peaks.map(() => ({ kind: 'peak' })),
      fit: {
        shape: { terms: edges.map(({ shape }) => shape), sampleRateHz: null },
        parameters: Float64Array.from([
          0,
          0,
          ...edges.map(({ cornerHz }) => Math.log(cornerHz)),
          ...peaks.flatMap((gainDb) => [Math.log(eq!.aroundHz), gainDb, Math.log(2)]),
        ]),
        halfTurns: 0,
      },
    },
    rivals: [],
    reducedChiSquare: 1,
  } as unknown as FittedTap;
}
/** A tenth of a sample at 48 kHz, nearly, for what rebuilds the signal. */
const REBUILDING = 1.9e-6;

describe('how far an arrival may be off for other reasons than noise', () => {
  it('is what rebuilds the signal, and what EQ above the band could turn: 0.25 radians at 5 kHz are 8 microseconds.', () => {
    expect(modelErrorSeconds(fitted({}))).toBeCloseTo(REBUILDING, 12);
    expect(modelErrorSeconds(fitted({ rangeHz: [20, 5000] }))).toBeCloseTo(
      Math.hypot(0.25 / (2 * Math.PI * 5000), REBUILDING),
      12,
    );
    // Within an octave of 20 kHz there is no more to be heard above.
    expect(modelErrorSeconds(fitted({ rangeHz: [20, 10_001] }))).toBeCloseTo(REBUILDING, 12);
    expect(modelErrorSeconds(fitted({ rangeHz: [20, 9_999] }))).toBeGreaterThan(4e-6);
  });

  // Butterworth of order 2 delays its pass band by sqrt(2) / (2 pi fc): 225 microseconds for 1 kHz, of order 1 by 159.
  it('is a tenth of what its filters delay where EQ around them may make up for others: all of a low-pass, of a high-pass what is left at the top of the band.', () => {
    const eq = (aroundHz: number) => ({ aroundHz, gainsDb: [2, -2, 2] });
    const error = (given: Given) => modelErrorSeconds(fitted(given));
    const lowPass = Math.SQRT2 / (2 * Math.PI * 1000);
    const highPass = Math.SQRT2 / (2 * Math.PI * 1900) / 10;
    const high = { order: 2, cornerHz: 1000 };
    const low = { order: 2, cornerHz: 1900 };
    expect(error({ high, eq: eq(1100) }) / Math.hypot(0.1 * lowPass, REBUILDING)).toBeCloseTo(1, 2);
    expect(error({ low, eq: eq(1900) }) / Math.hypot(0.1 * highPass, REBUILDING)).toBeCloseTo(1, 2);
    const first = { order: 1, cornerHz: 500 };
    expect(error({ high: first, eq: eq(500) }) / (0.1 / (2 * Math.PI * 500))).toBeCloseTo(1, 2);
    // Errors of both ends add as independent ones do.
    const both = Math.hypot(0.1 * lowPass, 0.1 * highPass, REBUILDING);
    expect(error({ low, high, eq: eq(1400) }) / both).toBeCloseTo(1, 2);
    // Without EQ around it a filter is sure: a 50000th of its delay is nothing.
    expect(error({ high }) / REBUILDING).toBeCloseTo(1, 2);
  });

  it('is without end where the fit needs EQ that no radio has beside a filter.', () => {
    const far = { aroundHz: 300, gainsDb: [25] };
    expect(modelErrorSeconds(fitted({ high: { order: 2, cornerHz: 1000 }, eq: far }))).toBe(
      Number.POSITIVE_INFINITY,
    );
    expect(modelErrorSeconds(fitted({ eq: far }))).toBeCloseTo(REBUILDING, 12);
  });
});

describe('the tap that others are timed against', () => {
  const taps = [
    fitted({ tapId: 'narrow', rangeHz: [100, 1000] }),
    fitted({ tapId: 'wide', rangeHz: [20, 5000] }),
    fitted({ tapId: 'high', rangeHz: [4000, 19_000] }),
  ];

  it('is the one that was named, or the widest in octaves; what shares no take with it is not told.', () => {
    const of = (referenceTapId: string | null) =>
      findTiming({ taps, referenceTapId }).map((timing) => [
        timing.tapId,
        timing.referenceTapId,
        timing.polarity,
      ]);
    expect(of(null)).toEqual([
      ['narrow', 'wide', 'ambiguous'],
      ['high', 'wide', 'ambiguous'],
    ]);
    expect(of('high')).toEqual([
      ['narrow', 'high', 'ambiguous'],
      ['wide', 'high', 'ambiguous'],
    ]);
    expect(findTiming({ taps, referenceTapId: null })[0].delaySeconds).toMatchObject({
      recordNext: { code: 'record a linking take' },
    });
    expect(findTiming({ taps: [], referenceTapId: null })).toEqual([]);
  });
});
