import { describe, expect, it } from 'vitest';
import { type SupplyWire, supplyWireSchema } from '../../../src/model/equipment.ts';
import { thinnestWires } from '../../../src/recommend/install/supply-check.ts';

describe('the thinnest supply wire', () => {
  const of = (way: 'chassis' | 'wire') =>
    thinnestWires(supplyWireSchema.parse({ lengthMetres: 10, return: way }), {
      currentAmps: 50,
      supplyVolts: 14.4,
    });

  // A = rho l I / U with 1/58 ohm mm2/m and 3.5 % of 14.4 V: 17.1 mm2 one way, 34.2 mm2 there and back.
  it('is twice as thick where the current also comes back through a wire: 25 mm2 and 35 mm2 for 50 A over 10 m.', () => {
    expect(of('chassis').copperMm2).toBe(25);
    expect(of('wire').copperMm2).toBe(35);
  });

  // Sizes of IEC 60228; A = rho l I / U, turned round for the length at which each is just enough.
  it('is the next metric size, whole square millimetres beyond the largest.', () => {
    const sizes = [2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95];
    const bought = (mm2: number) =>
      thinnestWires(
        { lengthMetres: mm2 * 58 * 0.035 * 14.4, return: 'chassis', metal: 'copper' } as SupplyWire,
        { currentAmps: 1, supplyVolts: 14.4 },
      ).copperMm2;
    expect(sizes.map((mm2) => bought(0.99 * mm2))).toEqual(sizes);
    expect(sizes.map((mm2) => bought(1.01 * mm2))).toEqual([...sizes.slice(1), 96]);
  });

  // ASTM B258: 4 AWG is 21.15 mm2, 2 AWG 33.6 mm2, 1/0 53.5 mm2; 34.2 mm2 are more than 2 AWG has.
  it('is bought as the even gauge above: 4 AWG for 17.1 mm2, 2 AWG for 27.2 mm2 of clad, 1/0 for 34.2 mm2.', () => {
    expect(of('chassis')).toMatchObject({ copperAwg: 4, cladAwg: 2 });
    expect(of('wire').copperAwg).toBe(0);
  });

  // ASTM B566: 62.9 % of copper's conductivity makes 27.2 mm2 of 17.1.
  it('is thicker of copper-clad aluminium: 35 mm2 for 25 mm2.', () => {
    expect(of('chassis').cladMm2).toBe(35);
  });
});
