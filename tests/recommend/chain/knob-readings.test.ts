import { describe, expect, it } from 'vitest';
import type { ChainFeed } from '../../../src/model/chain.ts';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { amplifierGain, converterLevel } from '../../../src/recommend/chain/gain-recommendations.ts';
import { bassDb } from './context.ts';
import { CONVERTER, dB, FULL, parts, solve } from './solved-parts.ts';

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
      tolerancePercent: 5,
    });
    const law = (side: string) => expect.stringMatching(new RegExp(`volume-law.*front ${side}`));
    for (const { restsOn } of [level!, gain!])
      expect(restsOn).toEqual(expect.arrayContaining([law('left'), law('right')]));
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

  it('ask a converter that ends at -3 dB to stand there: 8 V, 4 V wanted, a pad takes the other 3 dB.', () => {
    const ends = { ...CONVERTER, gainRangeDb: [-3, 6] };
    const { level } = readings(solve({ equipment: parts({}, { converter: ends }) }));
    expect(level?.gainDb).toMatchObject({ value: expect.closeTo(-3, 6) });
    expect(level?.outputVoltsRms).toBeCloseTo(4, 6);
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
