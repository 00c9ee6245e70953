import { describe, expect, it } from 'vitest';
import type { EquipmentInput, SupplyWire } from '../../../src/model/equipment.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { chainSupply, fuseForWire, mostDelivered } from '../../../src/recommend/chain/chain-supply.ts';
import { supplyCheck, thinnestWires } from '../../../src/recommend/install/supply-check.ts';
import { mm2OfAwg, wireOhms } from '../../../src/recommend/install/wire.ts';
import { contextOf, equipmentOf } from '../chain/context.ts';

const amplifier = (part: object = {}) => ({
  name: 'mono',
  feeds: ['subwoofer'],
  channels: 1,
  ratedWatts: 500,
  efficiency: 0.8,
  ...part,
});
const checked = (wire: object | null, amplifiers: object[] = [amplifier()]) => {
  const equipment = {
    amplifiers,
    ...(wire !== null && { supplyWire: { lengthMetres: 5, mm2: 25, ...wire } }),
  } as unknown as EquipmentInput;
  const figures = chainSupply(equipmentOf(equipment));
  const [check] = supplyCheck(contextOf({ equipment }), figures);
  return { figures: figures!, check, codes: check.cautions.map(codeOf) };
};
/** P / (efficiency U): 500 W at 0.8 and 14.4 V. */
const AMPS = 500 / 0.8 / 14.4;
const DRAWN = { currentAmps: AMPS, supplyVolts: 14.4 };

describe('the supply wire', () => {
  it('drops I R: 43.4 A through 5 m of 25 mm2 copper (58 m/ohm mm2) are 0.150 V, 6.5 W.', () => {
    const { check } = checked({});
    expect(check.wire).toMatchObject({
      mm2: 25,
      dropVolts: expect.closeTo((AMPS * 5) / 58 / 25, 9),
      dropPercent: expect.closeTo((((AMPS * 5) / 58 / 25) * 100) / 14.4, 9),
      lossWatts: expect.closeTo((AMPS ** 2 * 5) / 58 / 25, 9),
      verdict: 'enough',
    });
  });

  it('counts its return where that is a wire, and the metal.', () => {
    const drop = (wire: object) => checked(wire).check.wire!.dropVolts;
    expect(drop({ return: 'wire' })).toBeCloseTo(2 * drop({}), 9);
    expect(drop({ metal: 'copper-clad aluminium' })).toBeCloseTo(drop({}) / 0.629, 9);
    expect(wireOhms({ mm2: 10, metres: 58, metal: 'copper' })).toBeCloseTo(0.1, 12);
  });

  it('is too thin where it takes more than 3.5 % of the supply, or where no fuse for it carries the current.', () => {
    const verdict = (wire: object) => checked(wire).check.wire!.verdict;
    // 3.5 % of 14.4 V at 43.4 A through 10 mm2: 6.73 m.
    expect(verdict({ mm2: 10, lengthMetres: 6.7 })).toBe('enough');
    expect(verdict({ mm2: 10, lengthMetres: 6.8 })).toBe('too thin');
    // 6 mm2 take a fuse of 30 A.
    expect(verdict({ mm2: 6, lengthMetres: 0.5 })).toBe('too thin');
  });

  it('is as thin as drop and fuse allow: 8.7 mm2 of copper for the fuse, 14 of clad; twice the way asks for more.', () => {
    const wire = (part: object) =>
      equipmentOf({ supplyWire: { lengthMetres: 5, mm2: 25, ...part } }).supplyWire as SupplyWire;
    const thinnest = thinnestWires(wire({}), DRAWN);
    expect(thinnest).toMatchObject({ copperMm2: 10, cladMm2: 16 });
    expect(mm2OfAwg(thinnest.copperAwg)).toBeGreaterThan(AMPS / 5);
    // Way and back of 5 m: 14.8 mm2 by the drop.
    expect(thinnestWires(wire({ return: 'wire' }), DRAWN)).toMatchObject({ copperMm2: 16, cladMm2: 25 });
  });

  it('takes the largest fuse below 5 A for each mm2 of copper, 3.1 of clad wire.', () => {
    expect([2.5, 10, 16, 25].map((mm2) => fuseForWire(mm2, 'copper'))).toEqual([10, 50, 80, 125]);
    expect(fuseForWire(25, 'copper-clad aluminium')).toBe(80);
    expect(fuseForWire(0.5, 'copper')).toBe(10);
  });
});

describe('what the amplifiers draw', () => {
  it('is all of it into the loads that are connected: half the ohms are twice the watts.', () => {
    const most = (part: object, more: object = {}) => {
      const equipment = equipmentOf({ amplifiers: [amplifier(part)], ...more } as unknown as EquipmentInput);
      return mostDelivered(equipment, equipment.amplifiers[0]);
    };
    expect(most({})).toBe(500);
    expect(most({ loadOhms: 2 })).toBe(1000);
    // Four channels of 75 W, front at 4 ohm and rear at 2.
    const speakers = [
      { feeds: 'front', ohms: 4 },
      { feeds: 'rear', ohms: 2 },
    ];
    expect(most({ feeds: ['front', 'rear'], channels: 4, ratedWatts: 75 }, { speakers })).toBe(
      2 * 75 + 2 * 150,
    );
    // Two channels beyond what is listed hang on the lowest; fewer than listed all do.
    expect(most({ feeds: ['front'], channels: 4, ratedWatts: 75 }, { speakers })).toBe(4 * 75);
    expect(most({ feeds: ['front', 'rear'], channels: 2, ratedWatts: 75 }, { speakers })).toBe(2 * 150);
  });

  it('adds up, each branch with the next fuse above its own current, music an eighth.', () => {
    const { figures } = checked({}, [
      amplifier(),
      amplifier({ name: 'mains', feeds: ['front'], channels: 2, ratedWatts: 100, efficiency: 0.5 }),
    ]);
    expect(figures.amplifiers).toEqual([
      { name: 'mono', mostWatts: 500, currentAmps: expect.closeTo(AMPS, 9), fuseAmps: 50 },
      { name: 'mains', mostWatts: 200, currentAmps: expect.closeTo(200 / 0.5 / 14.4, 9), fuseAmps: 30 },
    ]);
    expect(figures.fullCurrentAmps).toBeCloseTo(AMPS + 200 / 0.5 / 14.4, 9);
    expect(figures).toMatchObject({ fuseAtLeastAmps: 80, fuseAtMostAmps: 125, fuseAmps: 80, groundMm2: 25 });
    expect(chainSupply(null)).toBeNull();
    expect(chainSupply(equipmentOf({}))).toBeNull();
  });

  it('follows the supply that is noted, and needs a wire for a fuse.', () => {
    expect(checked({ supplyVolts: 12 }).figures.fullCurrentAmps).toBeCloseTo(500 / 0.8 / 12, 9);
    expect(checked(null).figures).toMatchObject({
      supplyVolts: 14.4,
      fuseAmps: null,
      fuseAtMostAmps: null,
      groundMm2: null,
      fuseAtLeastAmps: 50,
    });
    expect(checked({ mm2: 6 }).figures).toMatchObject({
      fuseAmps: null,
      fuseAtMostAmps: 30,
      fuseAtLeastAmps: 50,
    });
    expect(checked({ mm2: undefined, awg: 4 }).figures.groundMm2).toBeCloseTo(21.15, 1);
  });
});

describe('cautions at the supply', () => {
  it('stand where they are due.', () => {
    const usual = [
      'ground wire',
      'charging system',
      'battery off',
      'ground to bare metal',
      'codes come first',
    ];
    expect(checked({}).codes).toEqual(usual);
    expect(checked({ fuseAmps: 150 }).codes).toEqual(['fuse too large', ...usual]);
    expect(checked({ fuseAmps: 40 }).codes).toEqual(['fuse too small', ...usual]);
    expect(checked({ fuseAmps: 60 }).codes).toEqual(usual);
    expect(checked({ mm2: 6 }).codes).toEqual(['no fuse fits', ...usual]);
    expect(checked({ fuseDistanceMetres: 0.46 }).codes).toEqual(['move the fuse', ...usual]);
    expect(checked({ fuseDistanceMetres: 0.44 }).codes).toEqual(usual);
    expect(checked({}, [amplifier(), amplifier()]).codes).toContain('fuses at the split');
    expect(checked({ metal: 'copper-clad aluminium' }).codes).toContain('clad wire');
    expect(checked(null).codes[0]).toBe('ground as thick');
  });
});
