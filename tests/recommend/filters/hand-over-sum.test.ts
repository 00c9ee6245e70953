import { describe, expect, it } from 'vitest';
import { evaluateOnGrid, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { handOverSum } from '../../../src/recommend/filters/hand-over-sum.ts';

const CORNER_HZ = 80;

function sumOf(highSlope: number, lowSlope: number) {
  return handOverSum({
    mains: null,
    subwoofer: null,
    highPass: { cornerHz: CORNER_HZ, slopeDbPerOctave: highSlope },
    lowPass: { cornerHz: CORNER_HZ, slopeDbPerOctave: lowSlope },
    atHz: CORNER_HZ,
    basis: 'filters alone',
  });
}

// Closed forms of a Butterworth high-pass and low-pass of one corner (textbook; Linkwitz, JAES 24(1), 1976).
describe('high-pass and low-pass of one corner', () => {
  it('of order 1 and 3 add flat either way', () => {
    for (const slope of [6, 18]) {
      const { asWired, inverted, startWith } = sumOf(slope, slope);
      expect(startWith).toBe('either');
      for (const span of [asWired, inverted]) {
        expect(span.leastDb).toBeCloseTo(0, 6);
        expect(span.mostDb).toBeCloseTo(0, 6);
      }
    }
  });

  it('of order 2 cancel at the corner as wired and give 3 dB too much inverted', () => {
    const { asWired, inverted, startWith } = sumOf(12, 12);
    expect(startWith).toBe('inverted');
    expect(asWired.leastDb).toBeLessThan(-35);
    expect(inverted.mostDb).toBeCloseTo(3.0103, 3);
  });

  it('of order 4 and 8 give 3 dB too much as wired', () => {
    for (const slope of [24, 48]) {
      expect(sumOf(slope, slope).startWith).toBe('as wired');
      expect(sumOf(slope, slope).asWired.mostDb).toBeCloseTo(3.0103, 2);
    }
  });

  it('of unequal order are added up: 12 against 24 dB an octave stand a quarter turn apart, 18 against 24 an eighth', () => {
    // At the corner each is 3 dB down; 2 cos(p/2) of that, with p = 90 and 45 degrees, is 0 and 2.32 dB.
    const quarter = sumOf(12, 24);
    expect(quarter.startWith).toBe('either');
    expect(quarter.asWired.atCornerDb).toBeCloseTo(0, 0);
    expect(quarter.inverted.atCornerDb).toBeCloseTo(0, 0);
    const eighth = sumOf(18, 24);
    expect(eighth.startWith).toBe('as wired');
    expect(eighth.asWired.mostDb).toBeCloseTo(20 * Math.log10(2 * Math.cos(Math.PI / 8) * Math.SQRT1_2), 1);
    expect(sumOf(12, 18).startWith).toBe('inverted');
    expect(sumOf(24, 48).startWith).toBe('inverted');
  });
});

it('two alike are 6 dB more as wired and a full null inverted, of which no more is said than 60 dB', () => {
  const sum = handOverSum({
    mains: null,
    subwoofer: null,
    highPass: null,
    lowPass: null,
    atHz: CORNER_HZ,
    basis: 'filters alone',
  });
  const twice = expect.closeTo(20 * Math.log10(2), 6);
  expect(sum).toMatchObject({
    asWired: { leastDb: twice, mostDb: twice, atCornerDb: twice },
    inverted: { leastDb: -60, mostDb: -60, atCornerDb: -60 },
    startWith: 'as wired',
  });
});

it('takes the sign and the delay of the radio into the starting polarity', () => {
  const way = (side: 'high-pass' | 'low-pass', delaySeconds: number, sign: number) => {
    const { real, imag } = evaluateOnGrid(prototypeSections({ family: 'linkwitz-riley', order: 4, side }), {
      frequencyHz: gridFrequencyHz,
      cornerHz: CORNER_HZ,
      sampleRateHz: null,
    });
    const turn = gridFrequencyHz.map((hz) => -2 * Math.PI * hz * delaySeconds);
    return {
      real: real.map((re, i) => sign * (re * Math.cos(turn[i]) - imag[i] * Math.sin(turn[i]))),
      imag: real.map((re, i) => sign * (re * Math.sin(turn[i]) + imag[i] * Math.cos(turn[i]))),
    };
  };
  const start = (delaySeconds: number, sign: number) =>
    handOverSum({
      mains: way('high-pass', 0, 1),
      subwoofer: way('low-pass', delaySeconds, sign),
      highPass: null,
      lowPass: null,
      atHz: CORNER_HZ,
      basis: 'radio and filters',
    }).startWith;
  expect(start(0, 1)).toBe('as wired');
  expect(start(0, -1)).toBe('inverted');
  // Half a period at the corner is half a turn.
  expect(start(0.5 / CORNER_HZ, 1)).toBe('inverted');
  expect(start(0.5 / CORNER_HZ, -1)).toBe('as wired');
  expect(start(0.25 / CORNER_HZ, 1)).toBe('either');
});
