import { describe, expect, it } from 'vitest';
import { followsLevel } from '../../../src/measure/recorder/follows-level.ts';
import { ladderWithoutRecorder } from '../../../src/measure/recorder/ladder-without-recorder.ts';
import { recorderResponse, withoutRecorder } from '../../../src/measure/recorder/recorder-response.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import type { LadderMeasurement } from '../../../src/model/measurement.ts';
import type { FrequencyResponse } from '../../../src/model/response.ts';

const N = gridFrequencyHz.length;
const response = (of: {
  real?: number | ((hz: number) => number);
  imag?: number;
  sigma?: number;
}): FrequencyResponse => {
  const { real = 0, imag = 0, sigma = 0 } = of;
  return {
    real: gridFrequencyHz.map((hz) => (typeof real === 'number' ? real : real(hz))),
    imag: new Float64Array(N).fill(imag),
    sigma: new Float64Array(N).fill(sigma),
    trustedHz: [10, 20_000],
  };
};
const at = ({ real, imag, sigma }: FrequencyResponse, i = 300) => [real[i], imag[i], sigma[i]];

describe('a recorder divided out of a response', () => {
  // z / w, and of independent errors the root of the squares: (|z/w| s_w)^2 + s_z^2, over |w|.
  it('leaves the quotient of complex numbers, and the noise of both.', () => {
    const found = at(
      withoutRecorder(response({ real: 3, imag: 4, sigma: 0.06 }), response({ imag: 2, sigma: 0.04 })),
    );
    // (3 + 4j) / 2j = 2 - 1.5j, of modulus 2.5: 2.5 times 0.04 are 0.1.
    expect(found[0]).toBeCloseTo(2, 12);
    expect(found[1]).toBeCloseTo(-1.5, 12);
    expect(found[2]).toBeCloseTo(Math.hypot(0.06, 0.1) / 2, 12);
    const same = response({ real: 1 });
    expect(withoutRecorder(same, null)).toBe(same);
  });

  it('is not known where the recorder passes less than a tenth: as uncertain as it is large, and raised by ten at most.', () => {
    const found = at(
      withoutRecorder(response({ real: 0.5, sigma: 1e-6 }), response({ real: 0.05, sigma: 1e-6 })),
    );
    expect(found[0]).toBeCloseTo((0.5 * 0.05) / 0.01, 9);
    expect(found[2]).toBeCloseTo(found[0], 9);
    expect(
      at(withoutRecorder(response({ real: 0.5, sigma: 1e-3 }), response({ real: 0.11 })))[2],
    ).toBeLessThan(0.01);
  });

  it('has its shape from the stronger programme, level between 300 Hz and 3 kHz taken out.', () => {
    const shaped = response({ real: (hz) => (hz < 299 || hz > 3001 ? 6 : 2), sigma: 0.1 });
    const shape = recorderResponse({ left: response({ real: 0.5 }), right: shaped })!;
    expect(at(shape)).toEqual([expect.closeTo(1, 9), 0, expect.closeTo(0.05, 9)]);
    expect(at(shape, 5)[0]).toBeCloseTo(3, 9);
    expect(at(recorderResponse({ left: shaped, right: response({ imag: 1 }) })!)[0]).toBeCloseTo(1, 9);
    expect(recorderResponse({ left: response({}), right: response({}) })).toBeNull();
  });
});

describe('a ladder without the recorder', () => {
  const ladder = (highestHarmonic: number): LadderMeasurement => ({
    toneHz: 1000,
    highestHarmonic,
    steps: [
      {
        driveDbFs: -6,
        levelDbFs: -20,
        levelSigmaDb: 0.01,
        harmonics: [0.03, 0.04].slice(0, highestHarmonic - 1),
        thd: 0.05,
        thdBeforeFilters: 0.05,
        thdNoise: 0.002,
        peakDbFs: -20,
      },
    ],
  });
  const without = (real: (hz: number) => number, highest = 3) =>
    ladderWithoutRecorder(ladder(highest), response({ real })).steps[0];

  it('has its tone and each harmonic as they were, and its peak as it was recorded.', () => {
    // Half of the tone, all of the second, a quarter of the third: against the tone they had been a half and twice as much.
    const step = without((hz) => (hz < 1500 ? 0.5 : hz < 2500 ? 1 : 0.25));
    expect(step.levelDbFs).toBeCloseTo(-20 + 6.0206, 4);
    expect(step.harmonics.map((part) => Math.round(1e6 * part) / 1e6)).toEqual([0.015, 0.08]);
    expect(step.thd).toBeCloseTo(Math.hypot(0.015, 0.08), 6);
    // Noise through gains of 2 and 0.5: the root of their mean square is 1.458.
    expect(step.thdNoise).toBeCloseTo(0.002 / Math.sqrt((4 + 0.25) / 2), 9);
    expect(step).toMatchObject({ peakDbFs: -20, driveDbFs: -6 });
  });

  it('is raised by 20 dB at most, and keeps its noise where no harmonic is read.', () => {
    expect(without(() => 0.01).levelDbFs).toBeCloseTo(0, 9);
    expect(without(() => 0.5, 1)).toMatchObject({ thdNoise: 0.002, harmonics: [], thd: 0 });
  });
});

describe('gain that follows the level', () => {
  const ladders = (...spreads: number[]) =>
    followsLevel(spreads.map((spreadDb, i) => ({ setting: 10 + i, spreadDb, leadInExcessDb: null })));
  const leadIns = (...excesses: (number | null)[]) =>
    followsLevel(excesses.map((leadInExcessDb, i) => ({ setting: 10 + i, spreadDb: null, leadInExcessDb })));

  it('spreads more than 3 dB along the ladder from the lowest setting on, and not alike at all.', () => {
    expect([ladders(3.1, 8), ladders(2.9, 8), ladders(8, 3.1)]).toEqual([true, false, true]);
    expect([ladders(4, 4.4), ladders(4, 4.6), ladders(4)]).toEqual([false, true, true]);
    // The lowest setting is the lowest, wherever it stands in the list.
    const backwards = [
      { setting: 20, spreadDb: 8, leadInExcessDb: null },
      { setting: 10, spreadDb: 1, leadInExcessDb: null },
    ];
    expect(followsLevel(backwards)).toBe(false);
    expect(followsLevel([])).toBe(false);
  });

  it('lifts a lead-in, where there is no ladder, by what no room does, or by what moves with the setting.', () => {
    expect([leadIns(6.1, 6), leadIns(5.9, 5)]).toEqual([true, false]);
    expect([leadIns(1.6, -0.5), leadIns(1.6, -0.3), leadIns(1.4, -3)]).toEqual([true, false, false]);
    expect(leadIns(null, null)).toBe(false);
    expect(followsLevel([{ setting: 1, spreadDb: 0, leadInExcessDb: 9 }])).toBe(false);
  });
});
