import { describe, expect, it } from 'vitest';
import type { ChainNode } from '../../../src/model/chain.ts';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { clipsFirst } from '../../../src/recommend/chain/chain-nodes.ts';
import { converterLevel } from '../../../src/recommend/chain/gain-recommendations.ts';
import { gainDb, pair } from '../synthetic.ts';
import { bassDb } from './context.ts';
import { CONVERTER, dB, FULL, parts, solve, volts } from './solved-parts.ts';

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

  it('have a pad of 6 dB before the converter, whose level then gives as much more: 8 V are 4 V, and 4 V again behind 0 dB.', () => {
    const padded = solve({}, { padDb: 20 * Math.log10(2) });
    const { node } = padded;
    // 1 % of the output's volts is 1 % of what is left of them.
    expect(node('pad')).toMatchObject({
      voltsRms: { value: expect.closeTo(4, 6), plusMinus: expect.closeTo(0.04, 6) },
    });
    expect(converterLevel(padded.context, padded.solved, padded.feed)).toMatchObject({
      gainDb: { value: expect.closeTo(0, 6) },
      outputVoltsRms: expect.closeTo(4, 6),
    });
    expect(node('converter input')).toMatchObject({ voltsRms: { value: expect.closeTo(4, 6) } });
    expect(node('converter output')?.knob).toMatchObject({
      setTo: expect.closeTo(0, 6),
      reading: { toneHz: 100, driveDbFs: 0, setting: 30, voltsRms: { value: expect.closeTo(4, 6) } },
    });
    expect(solve().nodes.map(({ kind }) => kind)).not.toContain('pad');
    expect(solve().nodes.map(({ kind }) => kind)).not.toContain('sum');
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
