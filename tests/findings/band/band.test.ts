import { expect, test } from 'vitest';
import { findBand } from '../../../src/findings/band/band.ts';
import { fitTap } from '../../../src/findings/band/fitted-tap.ts';
import { levelProfile } from '../../../src/findings/bass/level-profile.ts';
import { linearResponse } from '../../../src/findings/bass/linear-response.ts';
import type { Measured } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { type ExactTap, exactMeasurement, seeded } from '../exact-responses.ts';
import { measuredValue } from './minus-3-hz.ts';

test('a peak or dip within an octave of a corner is fitted with it and reported', () => {
  for (const [gainDb, frequencyHz] of [
    [3, 120],
    [-3, 120],
    [6, 60],
    [-6, 110],
  ]) {
    const band = bandOf(
      {
        edges: [{ side: 'high-pass', family: 'linkwitz-riley', order: 4, cornerHz: 80 }],
        eq: [{ kind: 'peak', frequencyHz, gainDb, q: 1.5 }],
        sampleRateHz: 48_000,
      },
      { snrDb: 60, seed: 4 },
    );
    const filter = band.lowEdge?.filter as { cornerHz: Measured };
    expect(filter).toMatchObject({ family: 'linkwitz-riley', order: 4 });
    expect(filter.cornerHz.value / 80).toBeCloseTo(1, 2);
    expect(band.fixedEq).toHaveLength(1);
    expect(band.fixedEq[0].frequencyHz / frequencyHz).toBeCloseTo(1, 2);
    expect(band.fixedEq[0].gainDb).toBeCloseTo(gainDb, 1);
  }
});

test.each<[string, ExactTap]>([
  ['flat', {}],
  ['bass and treble up', { eq: [shelf('low', 100, 8), shelf('high', 5000, 6)] }],
  ['bass and treble down', { eq: [shelf('low', 100, -10), shelf('high', 5000, -8)] }],
  ['a fixed door EQ', { eq: [peak(70, -6, 1), peak(2500, 5, 2), peak(9000, -4, 1)], sampleRateHz: 44_100 }],
  [
    'coupling capacitors at 5 Hz',
    { edges: [{ side: 'high-pass', family: 'butterworth', order: 1, cornerHz: 5 }] },
  ],
  [
    'coupling capacitors at 10 Hz',
    { edges: [{ side: 'high-pass', family: 'butterworth', order: 1, cornerHz: 10 }] },
  ],
])('a full-range tap stays full range: %s', (_, tap) => {
  for (const snrDb of [60, 40, 20]) {
    const band = bandOf(tap, { snrDb, seed: 5 });
    expect(band).toMatchObject({ verdict: 'full range', lowEdge: null, highEdge: null });
  }
});

test('a deep low shelf is no band limit; where noise hides its floor, whether it is one cannot be told', () => {
  const tap = { eq: [shelf('low', 70, -15)] };
  for (const snrDb of [60, 40]) {
    expect(bandOf(tap, { snrDb, seed: 5 })).toMatchObject({
      verdict: 'full range',
      lowEdge: null,
      highEdge: null,
    });
  }
  expect(bandOf(tap, { snrDb: 20, seed: 5 })).toMatchObject({ verdict: 'cannot be told', lowEdge: null });
});

test.each([
  [79.9, -3.17],
  [136.5, 3.93],
])('a corner at %f Hz that trades places with a shelf of %f dB beside it is not told', (cornerHz, gainDb) => {
  // With one Q, Butterworth 2 at 80 Hz and the shelf is exactly one at 109 Hz with the opposite shelf: poles change places.
  const tap: ExactTap = {
    edges: [{ side: 'low-pass', family: 'butterworth', order: 2, cornerHz }],
    eq: [{ kind: 'low shelf', frequencyHz: 100, gainDb, q: Math.SQRT1_2 }],
    sampleRateHz: 44_100,
  };
  for (const seed of [1, 2, 3, 4]) {
    const measurements = [exactMeasurement({ tapId: 't', left: tap, snrDb: 54, random: seeded(seed) })];
    const band = findBand(fitTap({ tapId: 't', carries: 'left', measurements, ceilingHz: null }));
    expect(band.highEdge).toMatchObject({ filter: { notMeasurable: { code: 'EQ around the corner' } } });
  }
});

test.each([96_000, 48_000, 44_100])(
  'a Bessel low-pass of a processor at %d Hz is read within 0.1 %%',
  (sampleRateHz) => {
    const tap: ExactTap = {
      edges: [{ side: 'low-pass', family: 'bessel', order: 3, cornerHz: 2005.6 }],
      sampleRateHz,
    };
    const measurements = [exactMeasurement({ tapId: 't', left: tap, snrDb: 57, random: seeded(5) })];
    const band = findBand(fitTap({ tapId: 't', carries: 'left', measurements, ceilingHz: null }));
    expect(band.highEdge!.slopeDbPerOctave).toBe(18);
    expect(band.fixedEq).toEqual([]);
    expect(Math.abs(measuredValue(band.highEdge!.minus3Hz) / 2005.6 - 1)).toBeLessThan(0.001);
  },
);

test('a bass limiter before the volume control is no EQ: where it acts the low-drive sweep is fitted', () => {
  const low: ExactTap = { edges: [{ side: 'low-pass', family: 'bessel', order: 3, cornerHz: 326 }] };
  const limited: ExactTap = { ...low, eq: [{ kind: 'low shelf', frequencyHz: 120, gainDb: -6, q: 0.7 }] };
  const random = seeded(9);
  const measurement = exactMeasurement({ tapId: 't', left: limited, snrDb: 60, random });
  const bothLowDrive = exactMeasurement({ tapId: 't', left: low, snrDb: 42, random }).left;
  const levels = {
    profile: levelProfile(bothLowDrive),
    drive: 'low-drive sweep',
    limitedByAtMostDb: 0,
  } as const;
  const take = {
    measurement: { ...measurement, bothLowDrive },
    setting: 20,
    tones: [],
    profile: levels.profile,
    linear: { ...levels, bassLimitedDb: 6 },
  };
  const band = findBand(
    fitTap({
      tapId: 't',
      carries: 'left',
      measurements: [take.measurement],
      ceilingHz: null,
      responseOf: () => linearResponse(take, 'left'),
    }),
  );
  expect(Math.abs(measuredValue(band.highEdge!.minus3Hz) / 326 - 1)).toBeLessThan(0.02);
  expect(band.fixedEq).toEqual([]);
  expect(linearResponse({ ...take, linear: { ...take.linear, bassLimitedDb: 0 } }, 'left')).toBe(
    measurement.left,
  );
});

test('the coupling of the recorder does not move a subsonic corner', () => {
  const band = bandOf(
    {
      edges: [
        { side: 'high-pass', family: 'butterworth', order: 2, cornerHz: 30 },
        { side: 'high-pass', family: 'butterworth', order: 1, cornerHz: 5 },
      ],
    },
    { snrDb: 60, seed: 6 },
  );
  expect(measuredValue(band.lowEdge!.minus3Hz) / 30).toBeCloseTo(1, 2);
});

test('settings whose bass has begun to fall do not take part', () => {
  const random = seeded(7);
  const edges = [{ side: 'low-pass', family: 'butterworth', order: 2, cornerHz: 3000 }] as const;
  const measurements = [10, 16, 22, 28, 34].map((setting, i) =>
    exactMeasurement({
      tapId: 'door',
      setting,
      left: { edges, gainDb: -30 + 6 * i, eq: i < 3 ? [] : [shelf('low', 70, -5 * (i - 2))] },
      snrDb: 50,
      random,
    }),
  );
  const band = findBand(fitTap({ tapId: 'door', carries: 'left', measurements, ceilingHz: null }));
  expect(band.lowEdge).toBeNull();
  expect(band.highEdge?.filter).toMatchObject({ family: 'butterworth', order: 2 });
  expect(band.evidence.map(({ setting }) => setting)).toEqual([10, 16, 22]);
});

test('a low-pass that sinks into the noise as it begins is never called full range', () => {
  const tap: ExactTap = {
    edges: [{ side: 'low-pass', family: 'linkwitz-riley', order: 8, cornerHz: 70.5 }],
    sampleRateHz: 48_000,
  };
  const bands = Array.from({ length: 40 }, (_, i) => {
    const random = seeded(i);
    const measurements = [exactMeasurement({ tapId: 't', left: tap, snrDb: i / 2, random })];
    return findBand(fitTap({ tapId: 't', carries: 'left', measurements, ceilingHz: null }));
  });
  expect(bands.map(({ verdict }) => verdict)).not.toContain('full range');
  const reasons = bands.flatMap(({ reason }) => reason ?? []);
  expect(reasons).toContainEqual({
    code: 'ends in doubt',
    ends: [{ side: 'high', why: 'noise', endHz: expect.any(Number) }],
  });
});

test('a tap that carries nothing, or only noise, gets a reason and no guess', () => {
  const measurements = [exactMeasurement({ tapId: 'x', snrDb: 40, random: seeded(8) })];
  const noise = findBand(fitTap({ tapId: 'x', carries: 'left', measurements, ceilingHz: null }));
  expect(noise).toMatchObject({ verdict: 'cannot be told', lowEdge: null, highEdge: null });
  expect(codeOf(noise.reason)).toBe('nothing clear of the noise');
  const nothing = findBand(fitTap({ tapId: 'x', carries: 'nothing', measurements, ceilingHz: null }));
  expect(nothing).toMatchObject({ verdict: 'cannot be told' });
});

function bandOf(tap: ExactTap, { snrDb, seed }: { snrDb: number; seed: number }) {
  const random = seeded(seed);
  const measurements = [
    exactMeasurement({ tapId: 't', left: { delaySeconds: 0.004, ...tap }, snrDb, random }),
  ];
  return findBand(fitTap({ tapId: 't', carries: 'left', measurements, ceilingHz: null }));
}

function shelf(end: 'low' | 'high', frequencyHz: number, gainDb: number) {
  return { kind: `${end} shelf` as const, frequencyHz, gainDb, q: Math.SQRT1_2 };
}

function peak(frequencyHz: number, gainDb: number, q: number) {
  return { kind: 'peak' as const, frequencyHz, gainDb, q };
}
