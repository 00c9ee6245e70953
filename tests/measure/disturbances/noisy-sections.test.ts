import { describe, expect, it } from 'vitest';
import { noisySections } from '../../../src/measure/disturbances/noisy-sections.ts';
import { withinRecording } from '../../../src/measure/sweeps/cut-sweep.ts';
import type { SectionResponses } from '../../../src/measure/sweeps/section-responses.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { fullTrack, type SectionId, sectionOf } from '../../../src/tones/track.ts';
import { fakeSweep } from '../fake-sweep.ts';

const RATE = 1000;
const QUIET = 1e-4;
type Of = { sigma?: (hz: number) => number; gain?: (hz: number) => number; startFrame?: number };
const sweep = (id: SectionId, { sigma = () => QUIET, gain = () => 1, startFrame }: Of = {}) =>
  fakeSweep({
    section: sectionOf(fullTrack, 'sweep', id)!,
    sampleRateHz: RATE,
    ...(startFrame === undefined ? {} : { startFrame }),
    channels: [
      {
        real: gridFrequencyHz.map(gain),
        imag: new Float64Array(gridFrequencyHz.length),
        sigma: gridFrequencyHz.map(sigma),
      },
    ],
  });
const noisy = (of: Partial<Record<SectionId, Of>>, { withLow = true } = {}): SectionId[] =>
  noisySections(
    {
      openings: [sweep('sweep left', of['sweep left']), sweep('sweep right', of['sweep right'])],
      closings: [sweep('closing left', of['closing left']), sweep('closing right', of['closing right'])],
      low: withLow ? sweep('sweep both low', of['sweep both low']) : null,
    },
    0,
  ).map(({ section }) => section.id);
const within = (low: number, high: number, factor: number) => (hz: number) =>
  QUIET * (hz >= low && hz <= high ? factor : 1);
const oneAt = (hz: number, factor: number) => {
  const k = gridFrequencyHz.findIndex((one) => one >= hz);
  return (each: number) => QUIET * (each === gridFrequencyHz[k] ? factor : 1);
};

describe('sweeps worth a look for sounds', () => {
  it('are none where all are alike.', () => {
    expect(noisy({})).toEqual([]);
    expect(noisy({}, { withLow: false })).toEqual([]);
  });

  it('have a quarter more noise than the quietest of their length, in bass, middle or treble.', () => {
    for (const [low, high] of [
      [20, 300],
      [300, 3000],
      [3000, 18_000],
    ]) {
      expect(noisy({ 'sweep right': { sigma: within(low, high, 1.26) } })).toEqual(['sweep right']);
      expect(noisy({ 'sweep right': { sigma: within(low, high, 1.24) } })).toEqual([]);
      expect(noisy({ 'closing left': { sigma: within(low, high, 1.26) } })).toEqual(['closing left']);
      expect(noisy({ 'sweep both low': { sigma: within(low, high, 1.26) } })).toEqual(['sweep both low']);
    }
    // All openings alike: their noise is steady.
    const louder = { sigma: () => 1.3 * QUIET };
    expect(noisy({ 'sweep left': louder, 'sweep right': louder })).toEqual([]);
  });

  it('or have 2.5 times at one frequency, between 20 Hz and 18 kHz; a line that spreads has 60 times.', () => {
    expect(noisy({ 'sweep left': { sigma: oneAt(1000, 2.6) } })).toEqual(['sweep left']);
    expect(noisy({ 'sweep left': { sigma: oneAt(1000, 2.4) } })).toEqual([]);
    expect(noisy({ 'sweep left': { sigma: oneAt(20, 2.6) } })).toEqual(['sweep left']);
    expect(noisy({ 'sweep left': { sigma: oneAt(17_500, 2.6) } })).toEqual(['sweep left']);
    expect(noisy({ 'sweep left': { sigma: oneAt(19, 2.6) } })).toEqual([]);
    expect(noisy({ 'sweep left': { sigma: oneAt(18_300, 2.6) } })).toEqual([]);
    const spread = (factor: number) =>
      noisy({
        'closing left': { sigma: oneAt(50, factor) },
        'closing right': { sigma: oneAt(50, factor) },
      });
    expect([spread(59), spread(61)]).toEqual([[], ['closing left', 'closing right']]);
    const low = (factor: number) => noisy({ 'sweep both low': { sigma: oneAt(50, factor) } });
    expect([low(59), low(61)]).toEqual([[], ['sweep both low']]);
  });

  it('or read otherwise than the closing sweep of their side, at three points in a row.', () => {
    const step = 10 ** (0.04 / 20);
    const at = (from: number, points: number, gain = step) => {
      const k = gridFrequencyHz.findIndex((hz) => hz >= from);
      return {
        sigma: () => 1e-6,
        gain: (hz: number) => (hz >= gridFrequencyHz[k] && hz < gridFrequencyHz[k + points] ? gain : 1),
      };
    };
    const unlike = (of: Of) =>
      noisy({
        'sweep left': of,
        'sweep right': { sigma: () => 1e-6 },
        'closing left': { sigma: () => 1e-6 },
        'closing right': { sigma: () => 1e-6 },
        'sweep both low': { sigma: () => 1e-6 },
      });
    expect(unlike(at(1000, 3))).toEqual(['sweep left']);
    expect(unlike(at(1000, 3, 1 / step))).toEqual(['sweep left']);
    expect(unlike(at(1000, 2))).toEqual([]);
    expect(unlike(at(1000, 3, 10 ** (0.02 / 20)))).toEqual([]);
  });

  it('read otherwise only beyond four standard deviations, and where the noise is below a thirtieth.', () => {
    const differs = (db: number, sigma: number) => {
      const of = { sigma: () => sigma };
      return noisy({
        'sweep left': { ...of, gain: () => 10 ** (db / 20) },
        'sweep right': of,
        'closing left': of,
        'closing right': of,
        'sweep both low': of,
      });
    };
    // Noise of 0.01 on each: 0.0141 of 8.686 dB, times four, is 0.491 dB, and 0.03 more.
    expect(differs(0.54, 0.01)).toEqual(['sweep left']);
    expect(differs(0.5, 0.01)).toEqual([]);
    // 1 / 30 is what both together may be: 0.0236 on each.
    expect(differs(1.5, 0.0243)).toEqual(['sweep left']);
    expect(differs(1.5, 0.026)).toEqual([]);
  });
});

describe('a sweep that the recording holds in part', () => {
  const LENGTH = 7000;
  const twin = sweep('sweep right', { sigma: () => 3 * QUIET });
  const cut = (startFrame: number) =>
    withinRecording(sweep('sweep left', { startFrame }), { twin, length: LENGTH });
  const firstRead = ({ channels: [{ sigma }] }: SectionResponses) =>
    gridFrequencyHz[sigma.findIndex((value) => value < 0.5)];

  it('is left alone where it is whole: 6.45 s with what is around it.', () => {
    for (const startFrame of [0, LENGTH - 6450]) expect(cut(startFrame).isPart).toBeUndefined();
    for (const startFrame of [-1, LENGTH - 6449]) expect(cut(startFrame).isPart).toBe(true);
  });

  it('counts as not read what was passed up to 0.05 s from its cut.', () => {
    // A second of the section is missing: the sweep has run for 0.85 s where its reading begins (0.2 s of lead).
    const hz = 10 * 2000 ** (0.85 / 6);
    expect(Math.abs(Math.log2(firstRead(cut(-1000)) / hz))).toBeLessThan(0.05);
    const { sigma } = cut(LENGTH - 3200).channels[0];
    // 3.2 s of the section are there: up to 2.95 s of the sweep.
    const lastHz = gridFrequencyHz[sigma.findLastIndex((value) => value < 0.5)];
    expect(Math.abs(Math.log2(lastHz / (10 * 2000 ** (2.95 / 6))))).toBeLessThan(0.05);
  });

  it('has no less noise than its twin.', () => {
    expect(cut(-1000).channels[0].sigma[400]).toBe(3 * QUIET);
    const noisier = withinRecording(sweep('sweep left', { startFrame: -1, sigma: () => 5 * QUIET }), {
      twin,
      length: LENGTH,
    });
    expect(noisier.channels[0].sigma[400]).toBe(5 * QUIET);
  });
});
