import { describe, expect, it } from 'vitest';
import { sameRadio } from '../../src/verify/same-radio.ts';
import type { ExactTap } from '../findings/exact-responses.ts';
import { recording } from './exact-recordings.ts';

const against = (
  left: ExactTap,
  { volts = 1, saved = 1 }: { volts?: number | null; saved?: number | null } = {},
) => sameRadio({ before: recording({ volts: saved }), now: recording({ left, volts }), withinDb: 1 });

describe('a radio that is measured again', () => {
  it('is the same within the limit, level and shape, and says how its level changed and which way.', () => {
    expect(against({ gainDb: 0.9 })).toMatchObject({ same: true, levelDb: expect.closeTo(0.9, 9) });
    expect(against({ gainDb: -0.9 })).toMatchObject({ same: true, levelDb: expect.closeTo(-0.9, 9) });
    expect(against({ gainDb: 1.1 })?.same).toBe(false);
    expect(against({ gainDb: -1.1 })?.same).toBe(false);
    // Twice the volts a full scale is 6.02 dB.
    expect(against({}, { volts: 2 })?.levelDb).toBeCloseTo(6.0206, 4);
  });

  it('is compared in shape only where one of the two is not in volts.', () => {
    const notChecked = { same: true, levelDb: null };
    expect(against({ gainDb: 9 }, { volts: null })).toMatchObject(notChecked);
    expect(against({ gainDb: 9 }, { saved: null })).toMatchObject(notChecked);
  });

  it('is another where its shape changed, and says where and by how much.', () => {
    // 3 dB at 100 Hz, an octave and a half wide: the mean of a third of an octave takes a tenth of it.
    const eq = [{ kind: 'peak', frequencyHz: 100, gainDb: -3, q: 0.9 }] as const;
    // In the middle of the band as well, where the level is no middle of anything until it is sorted.
    expect(against({ eq: [{ ...eq[0], frequencyHz: 800, gainDb: -6 }] })).toMatchObject({
      shapeDb: expect.closeTo(-5.7, 0),
      levelDb: expect.closeTo(-0.2, 0),
    });
    for (const gainDb of [0, 5, -5]) {
      const found = against({ eq, gainDb });
      expect(found).toMatchObject({ same: false, shapeDb: expect.closeTo(-2.9, 1) });
      expect(Math.abs(Math.log2(found!.atHz / 100))).toBeLessThan(0.05);
      expect(Math.abs(found!.levelDb! - gainDb)).toBeLessThan(0.1);
    }
  });

  it('is judged from 40 Hz to 15 kHz, and not at all where both share no more than a third of an octave.', () => {
    const away = { side: 'high-pass', family: 'butterworth', order: 4, cornerHz: 20 } as const;
    expect(against({ edges: [away] })?.same).toBe(true);
    const narrow = (highHz: number) =>
      sameRadio({ before: recording({ trustedHz: [100, highHz] }), now: recording({}), withinDb: 1 });
    expect(narrow(125)).toBeNull();
    expect(narrow(128)?.same).toBe(true);
  });
});
