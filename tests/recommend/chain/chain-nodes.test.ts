import { describe, expect, it } from 'vitest';
import type { ChainFeed, ChainNode } from '../../../src/model/chain.ts';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { measured } from '../../../src/model/measured.ts';
import { chainNodes, clipsFirst } from '../../../src/recommend/chain/chain-nodes.ts';
import { amplifierGain, converterLevel } from '../../../src/recommend/chain/gain-recommendations.ts';
import { gainStructure } from '../../../src/recommend/chain/gain-structure.ts';
import { radioNoiseVolts } from '../../../src/recommend/chain/radio-noise.ts';
import { lineVolts } from '../../../src/recommend/chain/solved-feed.ts';
import { gainDb, pair } from '../synthetic.ts';
import { bassDb, contextOf, finding, solvedOf } from './context.ts';

const dB = (ratio: number) => 20 * Math.log10(ratio);
const FULL = Math.sqrt(75 * 4);
const CONVERTER = {
  inputs: 4,
  inputLimitVoltsRms: 20,
  outputLimitVoltsRms: 4,
  gainRangeDb: [-30, 6],
  restoration: { kind: 'dynamic', maximumDb: 12 },
};
const parts = (amplifier: object = {}, more: object = {}) =>
  ({
    converter: CONVERTER,
    amplifiers: [{ name: 'mains', feeds: ['front', 'subwoofer'], ratedWatts: 75, ...amplifier }],
    speakers: [{ name: 'door', feeds: 'front', ratedWatts: 100 }],
    ...more,
  }) as unknown as EquipmentInput;
const volts = (node: ChainNode | undefined) =>
  node !== undefined && 'value' in node.voltsRms ? node.voltsRms.value : Number.NaN;

function solve(of: Parameters<typeof contextOf>[0] = {}, wanted: Parameters<typeof solvedOf>[1] = {}) {
  const context = contextOf({ equipment: parts(), ...of });
  const solved = solvedOf(context, wanted);
  const nodes = chainNodes(solved, { radioHeadroomDb: 1, knob: solved.knob! });
  const node = (kind: ChainNode['kind']) => nodes.find((one) => one.kind === kind);
  const feed = {
    noGains: [],
    conditions: [],
    filters: [],
    nodes,
    clipsFirst: clipsFirst(nodes),
  } as unknown as ChainFeed;
  return { context, solved, nodes, node, feed };
}

describe('the places of a feed', () => {
  it('are followed from the output to the load: 8 V, 4 V at the line, 17.3 V on a speaker that stands 20 V.', () => {
    const { nodes, node } = solve();
    expect(nodes.map(({ kind }) => kind)).toEqual([
      'output',
      'converter input',
      'converter output',
      'amplifier output',
      'load',
    ]);
    expect(node('output')).toMatchObject({
      voltsRms: { value: expect.closeTo(8, 6), plusMinus: expect.closeTo(0.08, 6) },
      headroomDb: 1,
      limitVoltsRms: expect.closeTo(8 * 10 ** (1 / 20), 6),
      knob: null,
    });
    expect(node('converter input')).toMatchObject({
      limitVoltsRms: 20,
      headroomDb: expect.closeTo(dB(20 / 8), 6),
    });
    expect(node('converter output')).toMatchObject({
      voltsRms: { value: expect.closeTo(4, 6) },
      limitVoltsRms: 4,
      headroomDb: expect.closeTo(0, 6),
      knob: { kind: 'converter level', unit: 'dB', range: [-30, 6], setTo: expect.closeTo(dB(4 / 8), 6) },
    });
    expect(node('amplifier output')).toMatchObject({
      voltsRms: { value: expect.closeTo(FULL, 6) },
      limitVoltsRms: expect.closeTo(FULL, 6),
      knob: { kind: 'amplifier gain', setTo: expect.closeTo(4, 6) },
    });
    expect(node('load')).toMatchObject({
      voltsRms: { value: expect.closeTo(FULL, 6) },
      limitVoltsRms: expect.closeTo(20, 6),
      headroomDb: expect.closeTo(dB(20 / FULL), 6),
    });
  });

  it('hold restoration and equaliser between: 6 dB and 2 dB on 2 V of bass are 5.02 V behind an input of 2 V.', () => {
    const taps = pair('front', { response: (hz) => gainDb(hz < 150 ? 0 : -6) });
    const { node, solved } = solve(
      { taps, volts: { at: 30, rms: 2 } },
      { boostDb: bassDb(6), equalizerDb: bassDb(2) },
    );
    expect(solved.worstHz).toBe(55);
    expect(volts(node('converter input'))).toBeCloseTo(2, 6);
    expect(volts(node('restoration'))).toBeCloseTo(2 * 10 ** (8 / 20), 6);
    expect(volts(node('converter output'))).toBeCloseTo(4, 6);
    expect(volts(node('amplifier output'))).toBeCloseTo(FULL, 5);
    // The equaliser is in both states, restoration in one.
    const { voltsOff, voltsOn } = lineVolts(solved);
    expect(voltsOff[100]).toBeCloseTo(4 * 10 ** (-6 / 20), 6);
    expect(voltsOn![100]).toBeCloseTo(4, 6);
    expect(lineVolts(solve().solved).voltsOn).toBeNull();
  });

  it('straight into an amplifier are its input, with a pad where it needs one.', () => {
    const { nodes, node } = solve(
      { equipment: parts({ sensitivityRangeVoltsRms: [0.2, 4] }) },
      { direct: 'line' },
    );
    expect(nodes.map(({ kind }) => kind)).toEqual([
      'output',
      'pad',
      'amplifier input',
      'amplifier output',
      'load',
    ]);
    expect(volts(node('pad'))).toBeCloseTo(4, 6);
    expect(node('amplifier input')).toMatchObject({
      voltsRms: { value: expect.closeTo(4, 6) },
      limitVoltsRms: 4,
    });
    const speaker = { speakerInputLimitVoltsRms: 10, speakerSensitivityRangeVoltsRms: [1, 12] };
    // An equaliser of 2 dB in the bass is in front of the amplifier too.
    const lifted = solve({ equipment: parts(speaker) }, { direct: 'speaker', equalizerDb: bassDb(2) });
    expect(volts(lifted.node('amplifier output'))).toBeCloseTo(FULL, 5);
    const atSpeakerLevel = solve({ equipment: parts(speaker) }, { direct: 'speaker' });
    expect(atSpeakerLevel.node('amplifier input')).toMatchObject({
      voltsRms: { value: expect.closeTo(8, 6) },
      limitVoltsRms: 10,
    });
    expect(atSpeakerLevel.node('amplifier output')).toMatchObject({
      voltsRms: { value: expect.closeTo(FULL, 5) },
      knob: { range: null, setTo: expect.closeTo(8, 6) },
    });
  });

  it('add a sum where outputs are joined, and leave out volts that nobody knows.', () => {
    expect(solve({}, { summed: true }).nodes.map(({ kind }) => kind)).toContain('sum');
    const { node } = solve({ volts: null });
    expect(node('output')).toMatchObject({
      voltsRms: { notMeasurable: { code: 'volts not known' } },
      headroomDb: 1,
      limitVoltsRms: null,
    });
    expect(node('converter input')).toMatchObject({
      headroomDb: null,
      voltsRms: { notMeasurable: { code: 'volts not known' } },
    });
  });

  it('end without an amplifier at the line, and without a rating at a load of no limit.', () => {
    const noAmplifier = { converter: CONVERTER } as unknown as EquipmentInput;
    expect(solve({ equipment: noAmplifier }).nodes.at(-1)?.kind).toBe('converter output');
    expect(solve({ equipment: parts({}, { speakers: [] }) }).node('load')).toMatchObject({
      limitVoltsRms: null,
      headroomDb: null,
    });
  });

  it('clip first where the headroom is least; of two alike the earlier, and never the load.', () => {
    const node = (kind: ChainNode['kind'], headroomDb: number | null) => ({ kind, headroomDb }) as ChainNode;
    expect(clipsFirst([node('output', 1), node('converter output', 0.5)])).toBe('converter output');
    expect(clipsFirst([node('output', 1), node('converter output', 0.995)])).toBe('output');
    expect(clipsFirst([node('output', 1), node('converter output', 0.985)])).toBe('converter output');
    expect(clipsFirst([node('output', 1), node('amplifier output', 2), node('load', -3)])).toBe('output');
    expect(clipsFirst([node('output', 1), node('load', -3)])).toBeNull();
    expect(clipsFirst([node('output', 1), node('converter output', null)])).toBeNull();
  });
});

const noise = (tapId: string, millivolts: number) =>
  finding({
    kind: 'noise',
    tapIds: [tapId],
    perSetting: [{ setting: 30, underQuietToneVolts: measured({ value: millivolts / 1000, plusMinus: 0 }) }],
  });

describe('the chain as the report’s picture has it', () => {
  it('names what clips first, the spread of headroom with the overlap taken out, and the line where the radio is first.', () => {
    const { context, solved, feed } = solve();
    expect(gainStructure(context, solved, feed)).toMatchObject({
      output: 'front',
      setting: 30,
      worstHz: 55,
      clipsFirst: 'converter output',
      reasons: [{ code: 'least headroom clips first' }],
      // 1 dB at the radio, nothing at line and amplifier.
      spreadDb: expect.closeTo(1, 6),
      radioFirstLineVoltsRms: expect.closeTo(4 * 10 ** (-1 / 20), 6),
      noise: null,
    });
    const overlapped = solve({ equipment: parts({ gainOverlapDb: 10 }) });
    expect(gainStructure(overlapped.context, overlapped.solved, overlapped.feed)).toMatchObject({
      spreadDb: expect.closeTo(1, 6),
      clipsFirst: 'amplifier',
    });
    expect(gainStructure(context, solved, { ...feed, clipsFirst: null })?.clipsFirst).toBe('not told');
    expect(gainStructure(context, solved, { ...feed, noGains: [{ code: 'volts not known' }] })).toBeNull();
    const names = gainStructure(context, solved, feed)?.nodes.map(({ node }) => node);
    expect(names).toEqual(['tap', 'converter input', 'converter output', 'amplifier output']);
  });

  it('adds noise by power: the louder output’s 1 mV through both gains, 50 microvolts of the converter through one.', () => {
    const { context, solved, feed } = solve({
      findings: [noise('front left', 0.5), noise('front right', 1)],
    });
    const amplifierGainRatio = FULL / 4;
    const heard = gainStructure(context, solved, feed)?.noise;
    const expected = Math.hypot(
      (0.001 * 4 * amplifierGainRatio) / 8,
      50e-6 * amplifierGainRatio,
      10e-6 * amplifierGainRatio,
    );
    expect(heard).toMatchObject({
      atSpeakerVolts: expect.closeTo(expected, 9),
      belowFullOutputDb: expect.closeTo(dB(FULL / expected), 6),
    });
    const silent = solve({ volts: null, findings: [noise('front left', 1)] });
    expect(gainStructure(silent.context, silent.solved, silent.feed)?.noise).toBeNull();
  });

  it('of outputs joined adds them by power, halved where both sides are: 3 and 4 mV are 5 or 2.5 mV.', () => {
    const taps = [...pair('door'), ...pair('dash')];
    const context = contextOf({
      taps,
      findings: [noise('door left', 3), noise('door right', 4), noise('dash left', 4)],
    });
    const of = (...tapIds: string[]) =>
      radioNoiseVolts(
        context,
        tapIds.map((tapId) => ({ tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 })),
        30,
      );
    expect(of('door left', 'dash left')).toBeCloseTo(0.005, 9);
    expect(of('door left', 'door right')).toBeCloseTo(0.0025, 9);
    expect(of('door left', 'dash right')).toBeNull();
    expect(of()).toBeNull();
  });
});

describe('readings of the knobs', () => {
  const readings = (of: ReturnType<typeof solve>) => ({
    level: converterLevel(of.context, of.solved, of.feed),
    gain: amplifierGain(of.context, of.solved, of.feed),
  });

  it('are the output’s volts times the gains, full drive and below, with the watts into the load.', () => {
    const { level, gain } = readings(solve());
    expect(level).toMatchObject({
      id: 'converter-level-front',
      gainDb: { value: expect.closeTo(-6.0206, 4), plusMinus: expect.closeTo(dB(1.01), 6) },
      outputVoltsRms: expect.closeTo(4, 6),
      outputLimitVoltsRms: 4,
      limitAssumed: false,
      tolerancePercent: 5,
    });
    expect(gain).toMatchObject({
      amplifier: 'mains',
      wattsAtLoad: expect.closeTo(75, 6),
      loadOhms: 4,
      fullOutputVoltsRms: expect.closeTo(FULL, 6),
      sensitivityVoltsRms: expect.closeTo(4, 6),
      gainOverlapDb: 0,
    });
    const at = (toneHz: number, driveDbFs: number) =>
      gain!.targets.find((one) => one.toneHz === toneHz && one.driveDbFs === driveDbFs)!;
    expect(gain!.targets).toHaveLength(9);
    expect(at(100, -10)).toMatchObject({
      voltsRms: {
        value: expect.closeTo(FULL / 10 ** 0.5, 5),
        plusMinus: expect.closeTo((FULL / 10 ** 0.5) * 0.05, 5),
      },
      watts: expect.closeTo(7.5, 5),
      restoration: 'none',
      setting: 30,
      setBy: false,
      overLimit: false,
    });
    expect(gain!.targets.filter(({ setBy }) => setBy)).toEqual([at(100, 0)]);
  });

  it('hold the equaliser in every state, and restoration in one.', () => {
    const { gain } = readings(solve({}, { equalizerDb: bassDb(-4), boostDb: bassDb(3) }));
    const at = (restoration: string) =>
      gain!.targets.find(
        (one) => one.toneHz === 55 && one.driveDbFs === 0 && one.restoration === restoration,
      )!.voltsRms;
    // The line is filled above the bass: 55 Hz lies 4 dB below it, 1 dB with restoration on.
    expect(at('off')).toMatchObject({ value: expect.closeTo(FULL * 10 ** (-4 / 20), 4) });
    expect(at('on')).toMatchObject({ value: expect.closeTo(FULL * 10 ** (-1 / 20), 4) });
  });

  it('are over the limit half a percent past it, which an overlap makes of full drive.', () => {
    const { gain } = readings(solve({ equipment: parts({ gainOverlapDb: 5 }) }));
    const over = gain!.targets.filter(({ overLimit }) => overLimit).map(({ driveDbFs }) => driveDbFs);
    expect(over).toEqual([0, 0, 0]);
    expect(gain!.targets.find(({ setBy }) => setBy)).toMatchObject({ toneHz: 100, driveDbFs: -5 });
  });

  it('say why: assumed line volts, a speaker’s rating, a filter in the way, a knob at its end.', () => {
    const codesOf = (of: ReturnType<typeof solve>) => {
      const { level, gain } = readings(of);
      return [...(level?.reasons ?? []), ...(gain?.reasons ?? [])].map((reason) =>
        typeof reason === 'string' ? reason : reason.code,
      );
    };
    const noConverter = codesOf(
      solve({ equipment: { ...parts(), converter: null } as unknown as EquipmentInput }),
    );
    expect(noConverter).toContain('line volts assumed');
    expect(codesOf(solve())).not.toContain('line volts assumed');
    expect(codesOf(solve())).toContain('converter hot');
    const weak = { speakers: [{ feeds: 'front', ratedWatts: 25 }] };
    expect(codesOf(solve({ equipment: parts({ sensitivityRangeVoltsRms: [0.2, 4] }, weak) }))).toEqual(
      expect.arrayContaining(['speaker rating ends it', 'converter turned down']),
    );
    expect(codesOf(solve())).not.toContain('speaker rating ends it');
    expect(codesOf(solve({ volts: { at: 30, rms: 0.5 } }))).toContain('converter at its top');
    expect(codesOf(solve({ equipment: parts({ gainOverlapDb: 5 }) }))).toContain('gain overlap');
    expect(codesOf(solve())).not.toContain('gain overlap');
  });

  it('are none without an amplifier, without gains, and for the converter where there is none between.', () => {
    const none = { ...solve().feed, noGains: [{ code: 'volts not known' }] } as ChainFeed;
    const { context, solved } = solve();
    expect(converterLevel(context, solved, none)).toBeNull();
    expect(amplifierGain(context, solved, none)).toBeNull();
    expect(converterLevel(context, solved, { ...solve().feed, direct: true })).toBeNull();
    const alone = solve({ equipment: { converter: CONVERTER } as unknown as EquipmentInput });
    expect(amplifierGain(alone.context, alone.solved, alone.feed)).toBeNull();
  });
});

describe('the loudest place of a feed', () => {
  it('lies between 25 Hz and 15 kHz, by its usual tone within a tenth of a decibel, else by its own frequency.', () => {
    const worst = (db: (hz: number) => number) =>
      solve({ taps: pair('front', { response: (hz) => gainDb(db(hz)) }) }).solved.worstHz;
    expect(worst((hz) => (hz < 24 || hz > 15_500 ? 20 : 0))).toBe(55);
    expect(worst((hz) => (hz > 2000 && hz < 2100 ? 0.08 : 0))).toBe(55);
    const own = worst((hz) => (hz > 2000 && hz < 2100 ? 0.12 : 0));
    expect(own).toBeGreaterThan(2000);
    expect(own).toBeLessThan(2100);
    expect(worst((hz) => (hz < 500 ? -6 : 0))).toBe(1000);
    expect(Math.abs(Math.log2(worst((hz) => (hz < 26.5 ? 6 : 0)) / 25.8))).toBeLessThan(0.05);
    expect(worst((hz) => (hz > 14_500 && hz < 15_000 ? 6 : 0))).toBeGreaterThan(14_500);
  });

  it('counts for the amplifier behind its filters and above 30 Hz, for the line everywhere.', () => {
    const taps = pair('front', { response: (hz) => gainDb(hz < 29 ? 6 : 0) });
    const { solved } = solve({ taps });
    // 16 V at 26 Hz fill the line; what is played is 8 V, half of the line’s 4 V.
    expect(solved.levels.lineVolts).toBeCloseTo(4, 6);
    expect(solved.levels.sensitivityVolts).toBeCloseTo(4 * 10 ** (-6 / 20), 6);
    const filters = [{ type: 'high-pass', cornerHz: 200, slopeDbPerOctave: 12 }] as const;
    const bassy = pair('front', { response: (hz) => gainDb(hz < 60 ? 6 : 0) });
    expect(solve({ taps: bassy }, { filters }).solved.levels.sensitivityVolts).toBeCloseTo(
      4 * 10 ** (-6 / 20),
      6,
    );
    expect(solve({ taps: bassy }).solved.levels.sensitivityVolts).toBeCloseTo(4, 6);
  });

  it('is the louder side’s; volts and their doubt are the worse’s.', () => {
    const taps = pair('front').map((tap, i) => ({ ...tap, response: () => gainDb(i === 1 ? -3 : 0) }));
    expect(solve({ taps }).solved.tapLevel[100]).toBeCloseTo(8, 6);
    expect(solve().solved).toMatchObject({
      inVolts: true,
      relativePlusMinus: 0.01,
      hasRestoration: false,
      limitAssumed: false,
    });
    expect(solve({}, { boostDb: bassDb(0.06) }).solved.hasRestoration).toBe(true);
    expect(solve({}, { boostDb: bassDb(0.04) }).solved.hasRestoration).toBe(false);
  });
});
