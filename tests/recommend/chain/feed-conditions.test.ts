import { describe, expect, it } from 'vitest';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { measured } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { againstGains, conditionsOf, heldBass } from '../../../src/recommend/chain/feed-conditions.ts';
import { knobTone } from '../../../src/recommend/chain/knob-tone.ts';
import { pair } from '../synthetic.ts';
import { bassDb, contextOf, equipmentOf, finding, solvedOf } from './context.ts';

const AMPLIFIER = { feeds: ['front'], ratedWatts: 75, sensitivityRangeVoltsRms: [0.2, 6] } as const;
type Parts = Omit<EquipmentInput, 'amplifiers'> & { amplifier?: object | null };

function conditions(parts: Parts = {}, direct: 'line' | 'speaker' | null = null, volts: number | null = 8) {
  const { context, solved } = both(parts, direct, volts);
  return conditionsOf(context, solved);
}
function both(parts: Parts, direct: 'line' | 'speaker' | null = null, volts: number | null = 8) {
  const { amplifier, ...rest } = parts;
  const amplifiers = amplifier === null ? [] : [{ ...AMPLIFIER, ...amplifier }];
  const equipment = { ...rest, amplifiers } as unknown as EquipmentInput;
  const context = contextOf({ equipment, volts: volts === null ? null : { at: 30, rms: volts } });
  return { context, solved: solvedOf(context, { direct }) };
}
const codes = (...of: Parameters<typeof conditions>) => conditions(...of).map(codeOf);
const SPEAKER = { name: 'door', feeds: 'front', ratedWatts: 100 } as const;

describe('conditions of a gain', () => {
  it('are none where all is known.', () => {
    expect(conditions({ speakers: [SPEAKER] })).toEqual([]);
  });

  it('are the volts where nobody knows them, with an amplifier and without.', () => {
    expect(codes({ speakers: [SPEAKER] }, null, null)).toEqual(['volts not known']);
    expect(codes({ amplifier: null }, null, null)).toEqual(['volts not known']);
    expect(codes({ amplifier: null })).toEqual([]);
  });

  it('are a load below the rated one, as long as nobody noted how low the amplifier goes.', () => {
    const speakers = [{ ...SPEAKER, ohms: 2 }];
    expect(conditions({ speakers })).toEqual([
      { code: 'lowest load not noted', amplifier: 'amplifier', loadOhms: 2, ratedOhms: 4 },
    ]);
    expect(codes({ speakers, amplifier: { lowestOhms: 2 } })).toEqual([]);
    expect(codes({ speakers: [{ ...SPEAKER, ohms: 4 }] })).toEqual([]);
  });

  it('are a rating that nobody noted.', () => {
    expect(conditions({ speakers: [{ name: 'door', feeds: 'front' }] })).toEqual([
      { code: 'rating not noted', load: 'door' },
    ]);
  });

  it('are an overlap left out for a load that stands less than the amplifier gives.', () => {
    const amplifier = { gainOverlapDb: 10 };
    expect(conditions({ speakers: [{ ...SPEAKER, ratedWatts: 50 }], amplifier })).toEqual([
      {
        code: 'gain overlap left out',
        load: 'door',
        loadWatts: expect.closeTo(50, 6),
        amplifierWatts: expect.closeTo(75, 6),
      },
    ]);
    expect(codes({ speakers: [SPEAKER], amplifier })).toEqual([]);
    expect(codes({ speakers: [{ ...SPEAKER, ratedWatts: 50 }] })).toEqual([]);
  });

  it('are a sensitivity at speaker level that nobody noted, straight into the amplifier only.', () => {
    const amplifier = { speakerInputLimitVoltsRms: 20 };
    const noted = { ...amplifier, speakerSensitivityRangeVoltsRms: [1, 15] };
    const code = 'sensitivity at speaker level not noted';
    expect(codes({ speakers: [SPEAKER], amplifier }, 'speaker')).toEqual([code]);
    expect(codes({ speakers: [SPEAKER], amplifier: noted }, 'speaker')).toEqual([]);
    expect(codes({ speakers: [SPEAKER], amplifier })).toEqual([]);
    expect(codes({ speakers: [SPEAKER] }, 'line')).toEqual([]);
  });

  it('are an amplifier that is not filled, by how much: the line’s 1 V at 2 V for full output is 6.02 dB short.', () => {
    const amplifier = { sensitivityRangeVoltsRms: [2, 6] };
    const converter = { inputs: 2, inputLimitVoltsRms: 20, outputLimitVoltsRms: 1 };
    const rated = Math.sqrt(75 * 4);
    expect(conditions({ speakers: [SPEAKER], amplifier, converter })).toEqual([
      {
        code: 'amplifier not filled',
        amplifier: 'amplifier',
        shortDb: expect.closeTo(6.0206, 4),
        outputVolts: expect.closeTo(rated / 2, 6),
      },
    ]);
    // Held against what the load stands, where that is less than the amplifier gives: 48 W are 13.86 V, 4.08 dB short.
    const weak = conditions({ speakers: [{ ...SPEAKER, ratedWatts: 48 }], amplifier, converter });
    expect(weak).toMatchObject([
      { shortDb: expect.closeTo(20 * Math.log10(Math.sqrt(48 * 4) / (rated / 2)), 4) },
    ]);
  });

  it('are a line level taken from the volts: nothing connected, 3 V at most.', () => {
    const context = contextOf({
      equipment: {
        amplifiers: [{ ...AMPLIFIER, feeds: ['front'], sensitivityRangeVoltsRms: [0.2, 6] }],
        speakers: [SPEAKER],
      },
      volts: { at: 30, rms: 2 },
    });
    const unloaded = (level?: 'line') => {
      const taps = context.session.taps.map((tap) => ({
        ...tap,
        load: 'nothing' as const,
        ...(level && { level }),
      }));
      return { ...context, session: { ...context.session, taps } };
    };
    const solved = solvedOf(context);
    expect(conditionsOf(unloaded(), solved)).toEqual([
      { code: 'line level taken from the volts', volts: expect.closeTo(2, 6) },
    ]);
    expect(conditionsOf(unloaded('line'), solved)).toEqual([]);
    expect(conditionsOf(context, solved)).toEqual([]);
  });
});

describe('what stands against gains', () => {
  const against = (parts: Parts, direct: 'line' | 'speaker' | null = null, volts: number | null = 8) => {
    const { solved } = both(parts, direct, volts);
    return againstGains(solved);
  };

  it('is a load below the lowest that the amplifier stands.', () => {
    const speakers = [{ ...SPEAKER, ohms: 2 }];
    expect(against({ speakers, amplifier: { lowestOhms: 4 } })).toEqual([
      { code: 'load below the lowest', amplifier: 'amplifier', loadOhms: 2, lowestOhms: 4 },
    ]);
    expect(against({ speakers, amplifier: { lowestOhms: 2 } })).toEqual([]);
    expect(against({ speakers })).toEqual([]);
  });

  it('is a first stage that is overdriven: 8 V into inputs that end at 4 V need a pad of 6.02 dB.', () => {
    const amplifier = { sensitivityRangeVoltsRms: [0.2, 4] };
    expect(against({ speakers: [SPEAKER], amplifier }, 'line')).toEqual([
      {
        code: 'too loud for the first stage',
        stage: 'amplifier',
        volts: expect.closeTo(8, 6),
        atMostVolts: expect.closeTo(4, 6),
        padDb: expect.closeTo(6.0206, 4),
      },
    ]);
    const converter = { inputs: 2, inputLimitVoltsRms: 20, outputLimitVoltsRms: 4, gainRangeDb: [0, 6] };
    expect(against({ speakers: [SPEAKER], converter } as Parts)).toMatchObject([{ stage: 'converter' }]);
    expect(against({ speakers: [SPEAKER], amplifier }, 'line', null)).toEqual([]);
  });
});

/** Holds 55 Hz at so many volts; the drive at 30 from which it does. */
const limiter = (heldVolts: number | null, driveDbFs: number | null) =>
  finding({
    kind: 'bass-limiter',
    tapIds: ['front left', 'front right'],
    perSetting: [
      {
        setting: 30,
        thresholdDriveDbFs:
          driveDbFs === null
            ? { notMeasurable: { code: 'volts not known' } }
            : measured({ value: driveDbFs, plusMinus: 0.1 }),
        levelVoltsRms:
          heldVolts === null
            ? { notMeasurable: { code: 'volts not known' } }
            : measured({ value: heldVolts, plusMinus: 0.1 }),
      },
    ],
  });
const EQUIPMENT = equipmentOf({
  converter: { inputs: 4, inputLimitVoltsRms: 20, outputLimitVoltsRms: 4 },
  amplifiers: [{ feeds: ['front', 'subwoofer'], ratedWatts: 75 }],
  speakers: [SPEAKER],
}) as unknown as EquipmentInput;

describe('bass that a limiter holds', () => {
  it('comes behind the amplifier as held volts times both gains, from the setting that reaches them.', () => {
    const context = contextOf({ equipment: EQUIPMENT, findings: [limiter(4, -6)] });
    const solved = solvedOf(context);
    const full = Math.sqrt(75 * 4);
    // 8 V fill the amplifier; 4 V are half of it, a quarter of the watts, and 6.02 settings below 30 at 1 dB each.
    expect(heldBass(context, solved)).toEqual([
      {
        code: 'bass held by the limiter',
        thresholdVolts: 4,
        fromSetting: expect.closeTo(30 - 6.0206, 3),
        outputVolts: expect.closeTo(full / 2, 6),
        watts: expect.closeTo(75 / 4, 6),
        fullWatts: expect.closeTo(75, 6),
      },
    ]);
  });

  it('is judged at 55 Hz: bass that stands 6 dB higher there reaches the threshold 6 settings sooner.', () => {
    const taps = pair('front', { response: (hz) => ({ real: hz < 70 ? 2 : 1, imag: 0 }) });
    const context = contextOf({ taps, equipment: EQUIPMENT, findings: [limiter(4, -6)] });
    expect(heldBass(context, solvedOf(context))).toMatchObject([
      { fromSetting: expect.closeTo(30 - 12.0412, 3) },
    ]);
  });

  it('is said without figures where its volts are not known, and not at all without a limiter.', () => {
    const unknown = contextOf({ equipment: EQUIPMENT, findings: [limiter(null, -6)] });
    expect(heldBass(unknown, solvedOf(unknown))).toMatchObject([{ thresholdVolts: null, outputVolts: null }]);
    expect(heldBass(contextOf(), solvedOf(contextOf()))).toEqual([]);
    const noLaw = contextOf({ equipment: EQUIPMENT, findings: [limiter(4, -6)], without: ['volume-law'] });
    expect(heldBass(noLaw, solvedOf(noLaw))).toMatchObject([{ fromSetting: null, thresholdVolts: 4 }]);
  });
});

describe('the tone that sets a knob', () => {
  const tone = (of: Parameters<typeof contextOf>[0] = {}, wanted: Parameters<typeof solvedOf>[1] = {}) => {
    const context = contextOf({ equipment: EQUIPMENT, ...of });
    return knobTone(context, solvedOf(context, wanted));
  };
  const SUB = { output: 'subwoofer', tapIds: [['front left', 'front right']] } as const;

  it('is 100 Hz for mains and 55 Hz for a subwoofer, at full drive without an overlap.', () => {
    expect(tone()).toMatchObject({ toneHz: 100, driveDbFs: 0, setting: 30, limiterDriveDbFs: null });
    expect(tone({}, SUB)).toMatchObject({ toneHz: 55, driveDbFs: 0 });
  });

  it('is the next one where the low one lies more than 6 dB under the strongest.', () => {
    const taps = (db: number) =>
      pair('front', { response: (hz) => ({ real: hz < 150 ? 10 ** (db / 20) : 1, imag: 0 }) });
    expect(tone({ taps: taps(-5.5) })?.toneHz).toBe(100);
    expect(tone({ taps: taps(-6.5) })?.toneHz).toBe(997);
    // Behind an equaliser, or a high-pass of 24 dB an octave at 150 Hz (14 dB down at 100 Hz by its closed form).
    expect(tone({}, { equalizerDb: bassDb(-7) })?.toneHz).toBe(997);
    expect(tone({}, { filters: [{ type: 'high-pass', cornerHz: 150, slopeDbPerOctave: 24 }] })?.toneHz).toBe(
      997,
    );
  });

  it('is played lower with a gain overlap, and where it would take a stage past its limit.', () => {
    const overlap = (gainOverlapDb: number) => {
      const equipment = { ...EQUIPMENT, amplifiers: [{ feeds: ['front'], ratedWatts: 75, gainOverlapDb }] };
      return tone({ equipment: equipment as EquipmentInput })?.driveDbFs;
    };
    expect([0, 5, 10].map(overlap)).toEqual([0, -5, -10]);
    // Gains for the band behind the filter; with it out the bass is 4 dB hotter and 9 dB hotter than the line stands.
    const hot = (db: number) =>
      tone(
        {
          taps: pair('front', {
            response: (hz) => ({ real: hz > 90 && hz < 150 ? 10 ** (db / 20) : 1, imag: 0 }),
          }),
        },
        {},
      )?.driveDbFs;
    expect(hot(0)).toBe(0);
  });

  it('stays 1 dB below a limiter: by its volts at this setting, else at a lower one.', () => {
    // 55 Hz is held at 6.7 V: 8 V at 30 are 1.54 dB over it; -5 dBFS there is clear.
    const held = (volts: number) => tone({ findings: [limiter(volts, -1)] }, SUB);
    expect(held(6.7)).toMatchObject({
      toneHz: 55,
      driveDbFs: -5,
      setting: 30,
      limiterDriveDbFs: expect.closeTo(-1.54, 2),
    });
    // Held at 4 V (-6.02 dB): -10 dBFS is clear at 30. Held at 1 V (-18.06 dB): 25 is 13.06 dB over, 20 is 8.06 dB over.
    expect(held(4)).toMatchObject({ driveDbFs: -10, setting: 30 });
    expect(held(1.2)).toMatchObject({
      driveDbFs: -10,
      setting: 20,
      limiterDriveDbFs: expect.closeTo(-6.48, 2),
    });
    // Clear by exactly more than 1 dB.
    expect(held(8 * 10 ** (1.1 / 20))).toMatchObject({ driveDbFs: 0 });
    expect(held(8 * 10 ** (0.9 / 20))).toMatchObject({ driveDbFs: -5 });
  });

  it('is none where the limiter holds every tone of a subwoofer, and a high one for mains.', () => {
    const findings = [limiter(0.5, -30)];
    expect(tone({ findings }, SUB)).toBeNull();
    expect(tone({ findings })).toMatchObject({ toneHz: 997, setting: 30 });
    const context = contextOf({ equipment: EQUIPMENT, findings });
    expect(againstGains(solvedOf(context, SUB)).map(codeOf)).toEqual(['limiter holds every tone']);
  });

  it('goes by the limiter’s drive where no volts are known.', () => {
    const findings = [limiter(null, -3)];
    expect(tone({ findings, volts: null }, SUB)).toMatchObject({ driveDbFs: -5, limiterDriveDbFs: -3 });
  });
});
