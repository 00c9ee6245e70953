import { describe, expect, it } from 'vitest';
import type { NoiseMeasurement } from '../../src/model/measurement.ts';
import type { Results } from '../../src/model/results.ts';
import { radioNoiseVolts } from '../../src/recommend/chain/radio-noise.ts';
import type { PlanContext } from '../../src/recommend/plan-context.ts';
import { noiseProof } from '../../src/verify/noise-proof.ts';
import type { PlannedFeed } from '../../src/verify/planned-feed.ts';
import type { RecordedFeed } from '../../src/verify/recorded-feed.ts';
import { plannedFeed, recordedFeed, recording } from './exact-recordings.ts';

/** 1 V a full scale: -60 dBFS is 1 mV. */
const noiseAt = (
  dbFs: number,
  linesHz: readonly number[] = [],
  recorderDbFs: number | null = null,
): NoiseMeasurement => ({
  underQuietToneDbFs: dbFs,
  underQuietToneADbFs: dbFs,
  inSilenceDbFs: dbFs,
  lines: linesHz.map((frequencyHz, i) => ({ frequencyHz, levelDbFs: dbFs - 3 - i })),
  recorderDbFs,
});
const GAINS = { 'converter output': 2, 'amplifier output': 8 };
const TAPS = [{ tapId: 'rear left' }, { tapId: 'rear right' }];

function feed(of: {
  noise: NoiseMeasurement | null;
  node?: RecordedFeed['node'] | undefined;
  gain?: PlannedFeed['gain'];
  amplifier?: object | null;
  taps?: object[];
  volts?: number | null;
  setting?: number;
}): RecordedFeed {
  const planned = plannedFeed({
    gain: of.gain ?? ((node) => GAINS[node]),
    amplifier: (of.amplifier === undefined
      ? { fullOutputVoltsRms: 20 }
      : of.amplifier) as PlannedFeed['amplifier'],
    feed: { taps: of.taps ?? TAPS.slice(0, 1) },
  });
  const { setting = 20, volts = 1 } = of;
  return recordedFeed({
    planned,
    node: of.node,
    measurements: [recording({ setting, volts, more: { noise: of.noise } })],
  });
}

/** Millivolts of the radio at a tap, by setting. */
const radioFinding = (tapId: string, millivolts: Record<number, number | null>) => ({
  kind: 'noise',
  tapIds: [tapId],
  perSetting: Object.entries(millivolts).map(([setting, mv]) => ({
    setting: Number(setting),
    underQuietToneVolts:
      mv === null
        ? { notMeasurable: { code: 'quieter than the recorder' } }
        : { value: mv / 1000, plusMinus: 0 },
  })),
});
const plan = (findings: object[], equipment: object | null = null) =>
  ({ findings, session: { equipment } }) as unknown as Results;
const quiet = plan([radioFinding('rear left', { 20: 0.1 })]);
/** What the chain keeps of the parts' noise, and the radio's by the one function for it. */
function proofOf(recorded: RecordedFeed, { findings, session: { equipment } }: Results) {
  const { taps, output } = recorded.planned.feed;
  const context = {
    findings,
    taps: taps.map(({ tapId }) => ({ tapId, side: tapId.endsWith('left') ? 'left' : 'right' })),
  } as unknown as PlanContext;
  const noise: PlannedFeed['noise'] = {
    converterVolts: equipment?.converter?.outputNoiseVolts ?? 0,
    amplifierVolts: equipment?.amplifiers.find(({ feeds }) => feeds.includes(output))?.inputNoiseVolts ?? 0,
    radioVolts: (setting) =>
      radioNoiseVolts(
        context,
        taps.map((tap) => ({ ...tap, trimDb: 0 })),
        setting,
      ),
  };
  return noiseProof({ ...recorded, planned: { ...recorded.planned, noise } });
}
const mv = (value: number | null) => (value === null ? null : Math.round(value * 1e6) / 1e3);

describe('noise behind an install', () => {
  it('is explained up to 6 dB over the radio’s, through the gain of the chain: 0.1 mV times 8 are 0.8 mV.', () => {
    expect(mv(proofOf(feed({ noise: noiseAt(-62) }), quiet).expected)).toBe(0.8);
    // 20 log10(x / 0.8 mV) = 6 dB: x = 1.596 mV, which is -55.9 dBFS.
    expect(proofOf(feed({ noise: noiseAt(-56) }), quiet)).toMatchObject({ verdict: 'pass', knob: null });
    const loud = proofOf(feed({ noise: noiseAt(-55.8) }), quiet);
    expect(loud).toMatchObject({ verdict: 'fail', knob: 'amplifier gain', setting: 20, unit: 'V RMS' });
    expect(loud.text).toMatchObject({
      code: 'noise is too much',
      overDb: expect.closeTo(-55.8 + 61.94, 2),
      // 20 V of full output against 1.62 mV.
      belowFullDb: expect.closeTo(26.02 + 55.8, 1),
      linesHz: [],
    });
  });

  it('adds what the parts make, by power: converter 0.3 mV times 4, amplifier 0.2 mV times 4, beside the radio’s 0.8 mV.', () => {
    const equipment = {
      converter: { outputNoiseVolts: 0.0003 },
      amplifiers: [
        { feeds: ['rear'], inputNoiseVolts: 1 },
        { feeds: ['front'], inputNoiseVolts: 0.0002 },
      ],
    };
    const parts = plan([radioFinding('rear left', { 20: 0.1 })], equipment);
    const expected = Math.hypot(0.8, 1.2, 0.8);
    expect(mv(proofOf(feed({ noise: noiseAt(-62) }), parts).expected)).toBeCloseTo(expected, 3);
    // At the converter's output there is no amplifier, and the gain is 2.
    const there = proofOf(feed({ noise: noiseAt(-62), node: 'converter output' }), parts);
    expect(mv(there.expected)).toBeCloseTo(Math.hypot(0.2, 0.3), 3);
  });

  it('of a sum adds its outputs by power, and is not told where one of them is unknown.', () => {
    const [left, right] = [radioFinding('rear left', { 20: 0.3 }), radioFinding('rear right', { 20: 0.4 })];
    const sum = feed({ noise: noiseAt(-62), taps: TAPS });
    // The gain of a feed of both sides is for half of their sum.
    expect(mv(proofOf(sum, plan([left, right])).expected)).toBeCloseTo(0.25 * 8, 6);
    const oneSide = feed({ noise: noiseAt(-62), taps: [{ tapId: 'dash left' }, { tapId: 'door left' }] });
    const findings = [radioFinding('dash left', { 20: 0.3 }), radioFinding('door left', { 20: 0.4 })];
    expect(mv(proofOf(oneSide, plan(findings)).expected)).toBeCloseTo(0.5 * 8, 6);
    expect(proofOf(sum, plan([left]))).toMatchObject({ verdict: 'not told', expected: null });
    expect(proofOf(sum, plan([left])).text).toMatchObject({ code: 'noise without a plan' });
  });

  it('is held against the nearest setting at which the radio’s is known.', () => {
    const known = plan([radioFinding('rear left', { 10: 0.1, 18: 0.2, 19: null, 30: 0.9 })]);
    expect(mv(proofOf(feed({ noise: noiseAt(-62) }), known).expected)).toBeCloseTo(1.6, 6);
  });

  it('points to the ground where lines stand out, four of them named, and else to a gain.', () => {
    const lines = [50, 100, 150, 200, 250, 300];
    const hum = proofOf(feed({ noise: noiseAt(-40, lines) }), quiet);
    expect(hum).toMatchObject({ knob: 'ground', text: { linesHz: lines.slice(0, 4) } });
    const hiss = feed({ noise: noiseAt(-40), amplifier: null });
    expect(proofOf(hiss, quiet).knob).toBe('converter level');
  });

  it('less than 60 dB below full output is too much, whether the plan explains it or not.', () => {
    // 20 V less 60 dB are 20 mV, -34 dBFS.
    const unknown = plan([]);
    expect(proofOf(feed({ noise: noiseAt(-34.1) }), unknown).verdict).toBe('not told');
    expect(proofOf(feed({ noise: noiseAt(-33.8) }), unknown)).toMatchObject({
      verdict: 'fail',
      text: { overDb: null },
    });
    expect(proofOf(feed({ noise: noiseAt(-33.8), node: 'converter output' }), unknown).verdict).toBe(
      'not told',
    );
    expect(proofOf(feed({ noise: noiseAt(-62), gain: () => null }), quiet).verdict).toBe('not told');
  });

  it('says why where it cannot be told at all.', () => {
    const codeOf = (recorded: RecordedFeed) => proofOf(recorded, quiet).text;
    expect(codeOf(feed({ noise: null }))).toEqual({ code: 'noise needs the full track' });
    expect(codeOf(feed({ noise: noiseAt(-60), volts: null }))).toEqual({ code: 'noise volts are not known' });
    expect(codeOf(feed({ noise: noiseAt(-60, [], -61) }))).toEqual({ code: 'noise volts are not known' });
  });
});
