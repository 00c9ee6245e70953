import { describe, expect, it } from 'vitest';
import { type EquipmentInput, equipmentSchema } from '../../../src/model/equipment.ts';
import { chainLoad } from '../../../src/recommend/chain/chain-load.ts';

const loadOf = (input: EquipmentInput, output: 'front' | 'subwoofer') =>
  chainLoad(equipmentSchema.parse(input), { output, amplifier: null });

// V = sqrt(P R), P = V^2 / R.
describe('what a load stands', () => {
  it('is its rating: a speaker of 25 W at 4 ohm stands 10 V.', () => {
    const { load, ratedVolts } = loadOf(
      { speakers: [{ name: 'door', feeds: 'front', ratedWatts: 25 }] },
      'front',
    );
    expect(load.ratedWatts).toBeCloseTo(25, 9);
    expect(ratedVolts).toBeCloseTo(10, 9);
  });

  it('is the weaker one’s of two on one output, at the lower impedance: 10 V and 8 V are 8 V, 32 W into 2 ohm.', () => {
    const { load, ratedVolts } = loadOf(
      {
        speakers: [
          { name: 'door', feeds: 'front', ratedWatts: 25, ohms: 4 },
          { name: 'dash', feeds: 'front', ratedWatts: 32, ohms: 2 },
        ],
      },
      'front',
    );
    expect(ratedVolts).toBeCloseTo(8, 9);
    expect(load).toMatchObject({ count: 2, ohms: 2, ratedWatts: expect.closeTo(32, 9) });
  });

  it('keeps the rating that is noted where the other is not, and calls the sum not known.', () => {
    const { load, ratedVolts } = loadOf(
      {
        speakers: [
          { name: 'door', feeds: 'front', ratedWatts: 25 },
          { name: 'dash', feeds: 'front' },
        ],
      },
      'front',
    );
    expect(ratedVolts).toBeCloseTo(10, 9);
    expect(load.ratedWatts).toBeNull();
  });

  it('is 4 ohm (common practice) where nothing is noted, told by the feed, and stands nobody knows what.', () => {
    for (const [output, name] of [
      ['front', 'the front speakers'],
      ['subwoofer', 'the subwoofer'],
    ] as const) {
      const { load, ratedVolts } = loadOf({}, output);
      expect(load).toMatchObject({ name, count: 1, ohms: 4, ratedWatts: null, factory: false });
      expect(ratedVolts).toBe(Number.POSITIVE_INFINITY);
    }
  });

  it('counts every woofer: two of 250 W as 2 ohm stand 500 W, 31.6 V.', () => {
    const { load, ratedVolts } = loadOf(
      { woofer: { name: 'sub', count: 2, ohms: 2, ratedWatts: 250, areaCm2: 500, peakTravelMm: 10 } },
      'subwoofer',
    );
    expect(load.ratedWatts).toBe(500);
    expect(ratedVolts).toBeCloseTo(Math.sqrt(500 * 2), 9);
  });
});
