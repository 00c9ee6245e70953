import { expect, test } from 'vitest';
import { findBand } from '../../../src/findings/band/band.ts';
import { fitTap } from '../../../src/findings/band/fitted-tap.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import {
  type ExactTap,
  exactMeasurement,
  exactResponse,
  measuredResponse,
  seeded,
  sigmaOf,
} from '../exact-responses.ts';

type Complex = readonly [number, number];
type Factor = (hz: number) => Complex;

/** Closed form: an all-pass of order 1 is (1 - jw) / (1 + jw), one of order 2 the quotient of conjugates: level 1 everywhere. */
const allPass1 = (cornerHz: number) => (hz: number) => {
  const w = hz / cornerHz;
  return [(1 - w * w) / (1 + w * w), (-2 * w) / (1 + w * w)] as const;
};
const allPass2 = (cornerHz: number, q: number) => (hz: number) => {
  const [re, im] = [1 - (hz / cornerHz) ** 2, hz / cornerHz / q];
  const square = re * re + im * im;
  return [(re * re - im * im) / square, (-2 * re * im) / square] as const;
};
/** What a compressor takes has no phase of a filter. */
const withoutPhase = (db: (hz: number) => number) => (hz: number) => [10 ** (db(hz) / 20), 0] as const;
const echo = (part: number, seconds: number) => (hz: number) => {
  const turn = 2 * Math.PI * hz * seconds;
  return [1 + part * Math.cos(turn), -part * Math.sin(turn)] as const;
};

function bandOf(factor: Factor, { tap = {}, snrDb }: { tap?: ExactTap | undefined; snrDb: number }) {
  const random = seeded(5);
  const exact = exactResponse(tap);
  const { real, imag } = { real: exact.real.slice(), imag: exact.imag.slice() };
  gridFrequencyHz.forEach((hz, i) => {
    const [re, im] = factor(hz);
    real[i] = exact.real[i] * re - exact.imag[i] * im;
    imag[i] = exact.real[i] * im + exact.imag[i] * re;
  });
  const measurements = [10, 20].map((setting) => ({
    ...exactMeasurement({ tapId: 't', setting, snrDb, random }),
    left: measuredResponse({ real, imag }, sigmaOf({ snrDb }), random),
  }));
  return findBand(fitTap({ tapId: 't', carries: 'left', measurements, ceilingHz: null }));
}

test.each<[string, Factor, ExactTap?]>([
  ['an all-pass of order 1 at 80 Hz', allPass1(80)],
  ['an all-pass of order 2 at 80 Hz', allPass2(80, Math.SQRT1_2)],
  ['an all-pass of order 2 at 500 Hz', allPass2(500, 2)],
  [
    'an all-pass beside EQ',
    allPass2(120, Math.SQRT1_2),
    { eq: [{ kind: 'peak', frequencyHz: 60, gainDb: 4, q: 1 }] },
  ],
  ['bass held by 6 dB', withoutPhase((hz) => -6 / (1 + (hz / 120) ** 4))],
  ['bass held by 14 dB', withoutPhase((hz) => -14 / (1 + (hz / 60) ** 4))],
  ['treble held by 6 dB', withoutPhase((hz) => -6 + 6 / (1 + (hz / 3000) ** 4))],
  [
    'three bands at levels of their own',
    withoutPhase((hz) => -5 / (1 + (hz / 200) ** 16) + 3 / (1 + (hz / 3000) ** 16)),
  ],
  ['a second path 2 ms later', echo(0.3, 0.002)],
])('behind %s a full-range tap is full range, and no EQ is made up for it', (_, factor, tap) => {
  for (const snrDb of [70, 45]) {
    const band = bandOf(factor, { tap, snrDb });
    expect(band).toMatchObject({ verdict: 'full range', lowEdge: null, highEdge: null, fixedEq: [] });
    expect(band.fixedEqReason).toEqual({ code: 'EQ not told from the fit' });
  }
});

test('behind an all-pass a high-pass of order 4 still limits the band, where its points are by the closed form', () => {
  const tap: ExactTap = { edges: [{ side: 'high-pass', family: 'butterworth', order: 4, cornerHz: 90 }] };
  const { verdict, lowEdge, highEdge } = bandOf(allPass2(1500, Math.SQRT1_2), { tap, snrDb: 60 });
  expect([verdict, highEdge]).toEqual(['band-limited', null]);
  // |H|^2 = 1 / (1 + (fc / f)^8): half at 90 Hz, a quarter at 90 / 3^(1/8) = 78.5 Hz.
  for (const [point, hz] of [
    [lowEdge!.minus3Hz, 90],
    [lowEdge!.minus6Hz, 90 / 3 ** (1 / 8)],
  ] as const) {
    const { value, plusMinus } = point as { value: number; plusMinus: number };
    expect(Math.abs(value - hz)).toBeLessThan(plusMinus);
    expect(plusMinus).toBeLessThan(0.02 * hz);
  }
  for (const shape of [lowEdge!.slopeDbPerOctave, lowEdge!.filter])
    expect(shape).toEqual({ notMeasurable: { code: 'no filter explains the response' } });
});
