import { describe, expect, it } from 'vitest';
import { evaluateOnGrid, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { passBandLevelDb, passBandSpreadDb } from '../../../src/findings/band/band-level.ts';
import { carriedResponse } from '../../../src/findings/band/carried-response.ts';
import { findCommonCeiling } from '../../../src/findings/band/common-ceiling.ts';
import type { FittedTap } from '../../../src/findings/band/fitted-tap.ts';
import { measuredEnd } from '../../../src/findings/band/measured-band.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import type { FrequencyResponse } from '../../../src/model/response.ts';
import { tapOf } from '../synthetic.ts';

const COUNT = gridFrequencyHz.length;
const response = (
  levelDb: (hz: number) => number,
  of: { trustedHz?: readonly [number, number] | null; sigma?: number; angle?: number } = {},
): FrequencyResponse => {
  const { trustedHz = [12, 19_500], sigma = 1e-5, angle = 0 } = of;
  const size = gridFrequencyHz.map((hz) => 10 ** (levelDb(hz) / 20));
  return {
    real: size.map((value) => value * Math.cos(angle)),
    imag: size.map((value) => value * Math.sin(angle)),
    sigma: new Float64Array(COUNT).fill(sigma),
    trustedHz,
  };
};
const tapWith = (levelDb: (hz: number) => number, rangeHz: readonly [number, number] = [15, 19_000]) =>
  ({
    average: { response: response(levelDb), takes: [] },
    data: { frequencyHz: gridFrequencyHz.filter((hz) => hz >= rangeHz[0] && hz <= rangeHz[1]) },
  }) as unknown as FittedTap;
/** A straight fall below a corner, decibels an octave. */
const fallsBelow =
  (cornerHz: number, slopeDb: number, mostDb = 99) =>
  (hz: number) =>
    -Math.min(mostDb, slopeDb * Math.max(0, Math.log2(cornerHz / hz)));

describe('where a band ends by its level alone', () => {
  it('is where it falls by 9 dB and goes on at 5 dB an octave and more, at either end.', () => {
    const low = measuredEnd(tapWith(fallsBelow(200, 12)), 'low');
    expect(low.verdict).toBe('falls on');
    expect(low.fallDb).toBeGreaterThan(30);
    const point = low.edge!.minus3Hz;
    // 3.01 dB at 12 dB an octave is a quarter of an octave.
    expect(isNotMeasurable(point) ? 0 : Math.abs(Math.log2(point.value / 200) + 3.0103 / 12)).toBeLessThan(
      0.05,
    );
    const high = measuredEnd(
      tapWith((hz) => -12 * Math.max(0, Math.log2(hz / 3000))),
      'high',
    );
    expect(high.verdict).toBe('falls on');
    const six = high.edge!.minus6Hz;
    expect(isNotMeasurable(six) ? 0 : Math.abs(Math.log2(six.value / 3000) - 6.0206 / 12)).toBeLessThan(0.05);
    expect(high.edge!.slopeDbPerOctave).toMatchObject({
      notMeasurable: { code: 'no filter explains the response' },
    });
    expect(measuredEnd(tapWith(fallsBelow(200, 12)), 'high').verdict).toBe('goes on');
  });

  it('is told by the fall to its end and over the last octave.', () => {
    const low = (tap: FittedTap) => measuredEnd(tap, 'low').verdict;
    // From 96 Hz to 12: three octaves of the range from 24 Hz on are two, at 4.9 dB less than enough.
    expect(low(tapWith(fallsBelow(200, 5.2), [20, 19_000]))).toBe('falls on');
    expect(low(tapWith(fallsBelow(200, 4.8), [20, 19_000]))).toBe('cannot be told');
    expect(low(tapWith(fallsBelow(40, 9), [20, 19_000]))).toBe('cannot be told');
    expect(low(tapWith(fallsBelow(42, 9), [20, 19_000]))).toBe('falls on');
  });

  it('ends nowhere where it reaches 40 Hz or 12 kHz and falls by less than 6 dB, or has levelled off.', () => {
    const flat = () => 0;
    expect(measuredEnd(tapWith(flat, [39, 19_000]), 'low').verdict).toBe('goes on');
    expect(measuredEnd(tapWith(flat, [42, 19_000]), 'low').verdict).toBe('cannot be told');
    expect(measuredEnd(tapWith(flat, [39, 12_300]), 'high').verdict).toBe('goes on');
    expect(measuredEnd(tapWith(flat, [39, 11_700]), 'high').verdict).toBe('cannot be told');
    const shelf = (depthDb: number) => fallsBelow(120, 20, depthDb);
    expect(measuredEnd(tapWith(shelf(8), [20, 19_000]), 'low').verdict).toBe('goes on');
    const gentle = (slopeDb: number) => measuredEnd(tapWith(fallsBelow(60, slopeDb), [20, 19_000]), 'low');
    expect(gentle(3.6).verdict).toBe('goes on');
    expect(gentle(4.2).verdict).toBe('cannot be told');
  });

  it('is a point that a level pass band makes sure, and none where it is uneven.', () => {
    const uneven = (hz: number) => fallsBelow(200, 12)(hz) + (hz > 1500 ? 5 : 0);
    const point = measuredEnd(tapWith(uneven), 'low').edge?.minus3Hz;
    expect(point).toMatchObject({ notMeasurable: { code: 'pass band not level enough for the point' } });
    const ripple = (hz: number) => fallsBelow(200, 24)(hz) + 0.5 * Math.sin(40 * Math.log(hz));
    const sure = measuredEnd(tapWith(ripple), 'low').edge?.minus3Hz;
    expect(sure !== undefined && !isNotMeasurable(sure) && sure.plusMinus / sure.value < 0.12).toBe(true);
  });
});

describe('the level of a pass band', () => {
  const curve = (levelDb: (hz: number) => number, lossDb: (hz: number) => number, edgeCount: number) => ({
    levelDb: gridFrequencyHz.map((hz) => levelDb(hz) - lossDb(hz)),
    edgeLossDb: gridFrequencyHz.map(lossDb),
    edgeCount,
    lossDbAt: lossDb,
  });
  const RANGE = [20, 19_000] as const;
  const order4 = (cornerHz: number) => (hz: number) => 10 * Math.log10(1 + (cornerHz / hz) ** 8);

  it('is what the edges let through, peaks of less than half of the band left out.', () => {
    expect(
      passBandLevelDb(
        curve(() => -20, order4(80), 1),
        RANGE,
      ),
    ).toBeCloseTo(-20, 2);
    const peak = (hz: number) => (hz > 500 && hz < 2000 ? -10 : -20);
    expect(passBandLevelDb(curve(peak, order4(80), 1), RANGE)).toBeCloseTo(-20, 2);
    expect(
      passBandLevelDb(
        curve(
          () => -20,
          () => 0,
          0,
        ),
        [900, 1100],
      ),
    ).toBeCloseTo(-20, 9);
  });

  it('of two edges that meet is the highest that they let through; of one it is as if the band went on.', () => {
    const narrow = (hz: number) => 3 + 30 * Math.log10(hz / 1000) ** 2;
    expect(
      passBandLevelDb(
        curve(() => 0, narrow, 2),
        RANGE,
      ),
    ).toBeCloseTo(-3, 2);
    expect(
      passBandLevelDb(
        curve(() => 0, narrow, 1),
        RANGE,
      ),
    ).toBeCloseTo(0, 2);
  });

  it('moves with what is taken for the pass band where it is tilted, and not where it is flat.', () => {
    expect(
      passBandSpreadDb(
        curve(() => 0, order4(80), 1),
        RANGE,
      ),
    ).toBeCloseTo(0, 6);
    const tilted = curve(
      (hz) => 3 * Math.log2(hz / 1000),
      () => 0,
      0,
    );
    // A quarter of an octave at an end moves the middle by an eighth: 0.375 dB.
    expect(passBandSpreadDb(tilted, RANGE)).toBeCloseTo(0.375, 1);
    // Its middle lies at 195 Hz (1 dB of loss at 95 Hz), a quarter of an octave less of it at 178.
    const bent = curve((hz) => (hz < 185 ? -4 : 0), order4(80), 1);
    expect(passBandSpreadDb(bent, [60, 400])).toBeGreaterThan(1);
  });
});

describe('the response to what an output carries', () => {
  const left = response(() => 0, { trustedHz: [100, 1000], sigma: 3e-3 });
  const right = response(() => 20 * Math.log10(2), { trustedHz: [20, 150], sigma: 4e-3, angle: Math.PI / 2 });
  const of = (carries: Parameters<typeof carriedResponse>[1], swap = false) =>
    carriedResponse((swap ? { left: right, right: left } : { left, right }) as TapMeasurement, carries);

  it('is a side, the sum or the difference, with the noise of both.', () => {
    expect([of('left'), of('right'), of('nothing')]).toEqual([left, right, left]);
    const [sum, difference] = [of('left and right'), of('difference')];
    expect([sum.real[9], sum.imag[9]]).toEqual([expect.closeTo(1, 9), expect.closeTo(2, 9)]);
    expect([difference.real[9], difference.imag[9]]).toEqual([expect.closeTo(1, 9), expect.closeTo(-2, 9)]);
    expect(sum.sigma[9]).toBeCloseTo(5e-3, 9);
  });

  it('is trusted where the wider band of the two is.', () => {
    // 3.3 octaves against 2.9.
    expect(of('left and right').trustedHz).toEqual([100, 1000]);
    expect(of('left and right', true).trustedHz).toEqual([100, 1000]);
    const none = { left, right: { ...right, trustedHz: null } } as unknown as TapMeasurement;
    expect(carriedResponse(none, 'left and right').trustedHz).toEqual([100, 1000]);
  });
});

describe('an edge at which all outputs end', () => {
  const tap = (id: string, levelDb: (hz: number) => number, of: Parameters<typeof response>[1] = {}) => ({
    tap: tapOf({ id }),
    carries: 'left' as const,
    measurements: [
      { tapId: id, setting: 20, evidence: [], left: response(levelDb, of) } as unknown as TapMeasurement,
    ],
  });
  const wall =
    (hz: number, octaves = 0.1, belowHz = 1e6) =>
    (at: number) =>
      at > belowHz ? -60 : -60 * Math.min(1, Math.max(0, Math.log2(at / hz) / octaves + 0.1));
  const ceilingOf = (...taps: ReturnType<typeof tap>[]) => findCommonCeiling(taps)?.ceilingHz ?? null;

  it('is told with its outputs, far steeper than any crossover.', () => {
    const found = findCommonCeiling([tap('a', wall(16_000)), tap('b', wall(16_000))])!;
    expect(found.tapIds).toEqual(['a', 'b']);
    expect(Math.abs(Math.log2(found.ceilingHz / 16_000))).toBeLessThan(0.05);
    // An octave-steep filter of 48 dB, order 8.
    const filter = evaluateOnGrid(prototypeSections({ family: 'butterworth', order: 8, side: 'low-pass' }), {
      frequencyHz: gridFrequencyHz,
      cornerHz: 9000,
      sampleRateHz: null,
    });
    const steep = (hz: number) => {
      const i = gridFrequencyHz.findIndex((one) => one >= hz);
      return 20 * Math.log10(Math.hypot(filter.real[i], filter.imag[i]));
    };
    expect(ceilingOf(tap('a', steep))).toBeNull();
  });

  it('is none where one output goes on, ends elsewhere, or all reach 18.6 kHz; one without treble says nothing.', () => {
    const ends = tap('a', wall(15_000));
    expect(
      ceilingOf(
        ends,
        tap('b', () => 0),
      ),
    ).toBeNull();
    expect(ceilingOf(ends, tap('b', wall(15_900)))).toBeNull();
    expect(ceilingOf(ends, tap('b', wall(15_300)))).not.toBeNull();
    expect(ceilingOf(tap('a', wall(19_500)))).toBeNull();
    expect(ceilingOf(tap('a', wall(6500)))).toBeNull();
    const dull = (db: number) => tap('b', (hz) => (hz > 3000 ? db : 0));
    expect(ceilingOf(ends, dull(-12.5))).not.toBeNull();
    expect(ceilingOf(ends, dull(-11.5))).toBeNull();
    expect(
      ceilingOf(
        ends,
        tap('b', () => 0, { trustedHz: null }),
      ),
    ).not.toBeNull();
    expect(ceilingOf()).toBeNull();
  });

  it('is not told of noise: the edge begins 12 dB above it.', () => {
    expect(ceilingOf(tap('a', wall(15_000), { sigma: 0.15 }))).not.toBeNull();
    expect(ceilingOf(tap('a', wall(15_000), { sigma: 0.25 }))).toBeNull();
  });

  it('is read of the take that stands clearest.', () => {
    const both = tap('a', wall(15_000));
    const noisy = tap('a', () => 0, { sigma: 0.1 }).measurements[0];
    for (const measurements of [
      [both.measurements[0], noisy],
      [noisy, both.measurements[0]],
    ])
      expect(ceilingOf({ ...both, measurements })).not.toBeNull();
  });
});
