import { describe, expect, it } from 'vitest';
import { type EquipmentInput, equipmentSchema } from '../../../src/model/equipment.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { measured } from '../../../src/model/measured.ts';
import { chainLoad } from '../../../src/recommend/chain/chain-load.ts';
import type { HighestClean } from '../../../src/recommend/chain/highest-clean-setting.ts';
import { boostFrom, keptBoost } from '../../../src/recommend/chain/kept-boost.ts';
import { driveForOverlap, isHeld } from '../../../src/recommend/chain/meter-targets.ts';
import { otherPlayers } from '../../../src/recommend/chain/other-players.ts';
import { bassDb, contextOf, finding, solvedOf } from './context.ts';

describe('a tone of the meter file', () => {
  it('is held by a limiter below 150 Hz, above its threshold.', () => {
    const held = (toneHz: number, driveDbFs: number, limiterDriveDbFs: number | null) =>
      isHeld({ toneHz, driveDbFs, limiterDriveDbFs });
    expect(held(55, 0, -3)).toBe(true);
    expect(held(55, -5, -3)).toBe(false);
    expect(held(100, 0, -3)).toBe(true);
    expect(held(997, 0, -3)).toBe(false);
    expect(held(55, 0, null)).toBe(false);
  });

  it('is the next lower one for a gain overlap.', () => {
    expect([0, 0.1, 5, 5.1, 10, 12].map(driveForOverlap).map(Math.abs)).toEqual([0, 5, 5, 10, 10, 10]);
  });
});

describe('a load', () => {
  const of = (wiring: string) =>
    chainLoad(
      equipmentSchema.parse({
        speakers: [{ name: 'door', feeds: 'front', ohms: 4, wiring, tweeter: { ohms: 6 } }],
      } as unknown as EquipmentInput),
      { output: 'front', amplifier: null },
    );

  it('is lower by a tweeter in parallel: 4 and 6 ohm are 2.4 (1 / (1/R1 + 1/R2)).', () => {
    expect(of('parallel').lowestOhms).toBeCloseTo(2.4, 9);
    expect(of('unknown').lowestOhms).toBe(4);
  });
});

describe('a converter behind a pad', () => {
  const equipment = {
    converter: { inputs: 2, inputLimitVoltsRms: 20, outputLimitVoltsRms: 4, gainRangeDb: [-30, 6] },
  } as unknown as EquipmentInput;
  const line = (rms: number, padDb: number) =>
    solvedOf(contextOf({ equipment, volts: { at: 30, rms } }), { padDb }).levels;

  it('reaches as far less as the pad takes: 2 V less 12 dB and plus 6 are 1.00 V.', () => {
    expect(line(2, 0)).toMatchObject({
      lineVolts: expect.closeTo(3.99, 2),
      lineLimit: 'converter gain at its top',
    });
    expect(line(2, 12)).toMatchObject({
      lineVolts: expect.closeTo(2 * 10 ** (-6 / 20), 6),
      lineLimit: 'converter gain at its top',
    });
    // At the other end 8 V and -30 dB are 0.25 V, with 12 dB of pad a quarter of that.
    expect(line(8, 12).lineVolts).toBeCloseTo(4, 6);
  });
});

describe('the boost that the chain keeps', () => {
  const kept = keptBoost((setting) => bassDb(setting === 24 ? 3.004 : 6), [24, 30]);

  it('is that of the nearest setting at or below, flat above the bass, the same below.', () => {
    const at = (setting: number, hz: number) =>
      boostFrom(kept, setting)[gridFrequencyHz.findIndex((one) => one >= hz)];
    expect([at(24, 50), at(29, 50), at(30, 50), at(36, 50), at(20, 50)]).toEqual([3, 3, 6, 6, 3]);
    expect(at(30, 10)).toBe(6);
    expect(at(30, 1000)).toBe(0);
    expect(boostFrom({ frequencyHz: [], settings: [] }, 30)[100]).toBe(0);
  });
});

describe('another source', () => {
  const clean = { recorded: 30, limitingTapId: 'front left' } as HighestClean;
  const players = (part: object, of: HighestClean = clean) =>
    otherPlayers(
      contextOf({
        findings: [
          finding({
            kind: 'other-source',
            tapIds: ['front left'],
            source: 'phone',
            levelDb: measured({ value: 0, plusMinus: 0.1 }),
            ceilingHz: 16_000,
            movesDb: null,
            clip: null,
            ...part,
          }),
        ],
      }),
      of,
    ).others?.[0];

  it('stays clean up to where it is as loud as the usual one at its highest clean setting: 5 dB louder, 5 settings less.', () => {
    expect(players({})).toEqual({
      source: 'phone',
      levelDb: 0,
      ceilingHz: 16_000,
      movesDb: null,
      cleanSetting: 30,
    });
    const louder = (value: number) => players({ levelDb: measured({ value, plusMinus: 0.1 }) })?.cleanSetting;
    expect([louder(0.2), louder(0.3), louder(5), louder(5.3), louder(-6), louder(40)]).toEqual([
      30,
      25,
      25,
      20,
      30,
      null,
    ]);
  });

  it('stays below the setting at which it clips by itself, and is not told where it moves or nothing is known.', () => {
    expect(players({ clip: { setting: 30 } })?.cleanSetting).toBe(25);
    expect(players({ movesDb: 3 })).toMatchObject({ movesDb: 3, cleanSetting: null });
    expect(players({ levelDb: { notMeasurable: { code: 'volts not known' } } })).toMatchObject({
      levelDb: null,
      cleanSetting: null,
    });
    expect(players({}, { ...clean, recorded: null })?.cleanSetting).toBeNull();
    expect(otherPlayers(contextOf(), clean)).toEqual({});
  });
});
