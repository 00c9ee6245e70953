import { describe, expect, it } from 'vitest';
import { evaluateSections, prototypeSections } from '../../src/dsp/filter-prototype.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { Verification } from '../../src/model/verification.ts';
import { fitChain } from '../../src/verify/chain-fit.ts';
import { verify } from '../../src/verify/verify.ts';
import { resultsOf } from '../recommend/results-of.ts';
import { pair, planInput, type SyntheticTap } from '../recommend/synthetic.ts';

/** Doors and dash meet at 3 kHz, Linkwitz-Riley 24 dB/octave: in phase, they add to an all-pass (Linkwitz 1976). */
const way = (side: 'low-pass' | 'high-pass', frequencyHz: number) =>
  evaluateSections(prototypeSections({ family: 'linkwitz-riley', order: 4, side }), {
    frequencyHz,
    cornerHz: 3000,
    sampleRateHz: null,
  });
const SETTINGS = [12, 16, 20, 24];
const VOLTS = { at: 24, rms: 5 };

const plan = resultsOf(
  planInput({
    taps: [
      ...pair('door', { response: (hz) => way('low-pass', hz) }),
      ...pair('dash', { response: (hz) => way('high-pass', hz) }),
    ],
    settings: SETTINGS,
    volts: VOLTS,
    railVoltsPeak: 12.6,
    equipment: {
      converter: { inputs: 4, inputLimitVoltsRms: 20, summing: 'pairs', canInvert: true },
      amplifiers: [{ feeds: ['front'], channels: 2, ratedWatts: 100 }],
    },
  }),
);
/** V = sqrt(P R), reached at setting 24. */
const FULL_VOLTS = Math.sqrt(100 * 4);

/** What stands at the amplifier with the dash tap added as given: 1, -1 (inverted) or 0 (missing). */
function installed(dash: { left: number; right: number }): Verification {
  const taps = (['left', 'right'] as const).map(
    (side): SyntheticTap => ({
      id: `front ${side}`,
      side,
      position: 'front',
      response: (hz) => {
        const [low, high] = [way('low-pass', hz), way('high-pass', hz)];
        return { real: low.real + dash[side] * high.real, imag: low.imag + dash[side] * high.imag };
      },
    }),
  );
  const { session, measurements } = planInput({
    taps,
    settings: SETTINGS,
    volts: { at: 24, rms: FULL_VOLTS },
  });
  return verify({ plan, session, measurements, notes: [], toolVersion: 'test', inputs: [] });
}

describe('a feed that is a sum', () => {
  it('passes where both taps are added as planned', () => {
    const found = installed({ left: 1, right: 1 });
    expect(found.turn).toEqual([]);
    expect(found.feeds.map(({ feedId }) => feedId)).toEqual(['feed-front-left', 'feed-front-right']);
  });

  it('names the tap that is inverted, and the one that is missing', () => {
    const { feeds } = installed({ left: -1, right: 0 });
    const wiring = feeds.map(({ proofs }) =>
      proofs.filter(({ what, verdict }) => what === 'wiring' && verdict === 'fail'),
    );
    expect(wiring[0]).toMatchObject([
      { knob: 'polarity', text: { code: 'tap reaches the converter inverted' } },
    ]);
    expect(wiring[1]).toMatchObject([
      { knob: 'wiring', text: { code: 'tap is missing from the sum', tapId: 'dash right' } },
    ]);
  });
});

describe('the knobs fitted to a difference', () => {
  const points = Array.from(gridFrequencyHz.keys()).filter(
    (i) => i % 4 === 0 && gridFrequencyHz[i] > 25 && gridFrequencyHz[i] < 300,
  );
  const boostAt = (i: number, most: number) => most / (1 + (gridFrequencyHz[i] / 90) ** 2);

  it('gain, share of the restoration and corner come back as put in (closed form)', () => {
    const lowPass = prototypeSections({ family: 'butterworth', order: 4, side: 'low-pass' });
    const data = [0, 8].map((most) => ({
      points,
      boostDb: points.map((i) => boostAt(i, most)),
      differenceDb: points.map((i) => {
        const { real, imag } = evaluateSections(lowPass, {
          frequencyHz: gridFrequencyHz[i],
          cornerHz: 100,
          sampleRateHz: null,
        });
        return -2 - 0.5 * boostAt(i, most) + 20 * Math.log10(Math.hypot(real, imag));
      }),
    }));
    const fit = fitChain(data, [{ type: 'low-pass', cornerHz: 80, slopeDbPerOctave: 24 }]);
    expect(fit.gainDb).toBeCloseTo(-2, 0);
    expect(fit.restorationShare).toBeCloseTo(-0.5, 1);
    expect(fit.filters[0].family).toBe('butterworth');
    // Corners are tried in steps of 3 percent.
    expect(Math.abs(Math.log(fit.filters[0].cornerHz / 100))).toBeLessThan(0.03);
  });

  it('gain and restoration are not told apart where the boost is the same everywhere', () => {
    const one = { points, boostDb: points.map(() => 6), differenceDb: points.map(() => -6) };
    expect(fitChain([one], []).restorationShare).toBeNull();
  });
});
