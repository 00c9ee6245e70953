import { describe, expect, it } from 'vitest';
import { type Equipment, equipmentSchema } from '../../../src/model/equipment.ts';
import { chainSupply, fuseForWire } from '../../../src/recommend/chain/chain-supply.ts';
import { noiseShares } from '../../../src/recommend/chain/gain-structure.ts';

/** 500 W into 4 ohm at an efficiency of 0.8 and 14.4 V: 43.4 A (P / (efficiency U)). */
function equipment(fuseAmps?: number): Equipment {
  return equipmentSchema.parse({
    amplifiers: [{ name: 'mono', feeds: ['subwoofer'], channels: 1, ratedWatts: 500, efficiency: 0.8 }],
    supplyWire: { mm2: 25, lengthMetres: 5, ...(fuseAmps === undefined ? {} : { fuseAmps }) },
  });
}

describe('supply of the amplifiers', () => {
  it('draws P over efficiency and volts: 500 W at 0.8 and 14.4 V are 43.4 A, music an eighth.', () => {
    const supply = chainSupply(equipment())!;
    expect(supply.fullCurrentAmps).toBeCloseTo(500 / (0.8 * 14.4), 6);
    expect(supply.musicCurrentAmps).toBeCloseTo(500 / (0.8 * 14.4) / 8, 6);
    expect(supply.fittedFuse).toBeNull();
  });

  it('calls a fuse of 40 A too small, 60 A right, 150 A too large for 25 mm2 of copper (5 A for each).', () => {
    const verdict = (amps: number) => chainSupply(equipment(amps))!.fittedFuse!.verdict;
    expect([40, 60, 150].map(verdict)).toEqual(['too small', 'right', 'too large']);
  });
});

// Sizes of blade, maxi and bolt-down fuses (common practice); 5 A for each mm2 of copper, 3.1 for each of clad aluminium.
describe('fuses', () => {
  const SIZES = [10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 150, 200, 250, 300];

  it.each(SIZES.map((amps, i) => [amps, SIZES[i - 1] ?? 10] as const))(
    'of %d A protect a wire that stands as much, and a wire a tenth thinner gets %d A',
    (amps, below) => {
      expect(fuseForWire(amps / 5, 'copper')).toBe(amps);
      expect(fuseForWire((0.9 * amps) / 5, 'copper')).toBe(below);
      expect(fuseForWire(amps / 3.1, 'copper-clad aluminium')).toBe(amps);
    },
  );

  it.each(SIZES.map((amps, i) => [amps, SIZES[i + 1] ?? 350] as const))(
    'of %d A are enough up to as much, and above it %d A are',
    (amps, next) => {
      // Watts of a linear stage at half its supply's power: I = P / (0.5 U).
      const drawing = (current: number) =>
        equipmentSchema.parse({
          amplifiers: [
            {
              name: 'mono',
              feeds: ['subwoofer'],
              channels: 1,
              ratedWatts: 0.5 * 14.4 * current,
              efficiency: 0.5,
            },
          ],
        });
      expect(chainSupply(drawing(0.99 * amps))!.fuseAtLeastAmps).toBe(amps);
      expect(chainSupply(drawing(1.01 * amps))!.fuseAtLeastAmps).toBe(next);
    },
  );
});

describe('noise at the speaker', () => {
  // Independent sources add in power; the radio's passes the whole chain, the parts' own only the amplifier.
  it('is the root of the sum of squares: 1, 2 and 2 mV at a gain of one are 3 mV.', () => {
    const { atSpeakerVolts, shares } = noiseShares({
      radioVolts: 0.001,
      converterVolts: 0.002,
      amplifierVolts: 0.002,
      gainTapToSpeaker: 1,
      amplifierGain: 1,
    });
    expect(atSpeakerVolts).toBeCloseTo(0.003, 12);
    expect(Object.fromEntries(shares.map(({ stage, share }) => [stage, share]))).toEqual({
      radio: expect.closeTo(1 / 9, 12),
      converter: expect.closeTo(4 / 9, 12),
      amplifier: expect.closeTo(4 / 9, 12),
    });
  });

  it('takes the radio’s by the gain from tap to speaker, the parts’ by the amplifier’s: 3 and 4 mV are 5 mV.', () => {
    const { atSpeakerVolts } = noiseShares({
      radioVolts: 0.001,
      converterVolts: 0.0004,
      amplifierVolts: 0,
      gainTapToSpeaker: 3,
      amplifierGain: 10,
    });
    expect(atSpeakerVolts).toBeCloseTo(0.005, 12);
  });
});
