import { describe, expect, it } from 'vitest';
import { oddArrivals } from '../../../src/findings/withheld/odd-arrivals.ts';
import type { OneTap } from '../../../src/findings/withheld/one-tap.ts';
import { unevenLevels } from '../../../src/findings/withheld/uneven-levels.ts';
import { exactResponse } from '../../measure/exact-response.ts';
import { tapOf } from '../synthetic.ts';

/** One output whose levels, or arrivals, are given from setting to setting. */
function tapWith(
  id: string,
  of: {
    levelsDb?: readonly number[];
    arrivals?: readonly number[];
    settings?: readonly number[];
    sigma?: number;
    upToHz?: number;
    origin?: (setting: number) => string;
  },
): OneTap {
  const { levelsDb, arrivals, sigma = 1e-6, upToHz = 19_500 } = of;
  const count = (levelsDb ?? arrivals ?? []).length;
  const settings = of.settings ?? Array.from({ length: count }, (_, i) => 10 + 2 * i);
  return {
    tap: tapOf({ id }),
    takes: settings.map((setting, i) => ({
      setting,
      timeOrigin: of.origin?.(setting) ?? `take ${setting}`,
      response: {
        ...exactResponse({
          gain: 10 ** ((levelsDb?.[i] ?? 0) / 20),
          delaySeconds: arrivals?.[i] ?? 0,
          sigma,
          seed: i + 1,
        }),
        trustedHz: [12, upToHz],
      },
    })),
  } as unknown as OneTap;
}

describe('a level that stands off the line of its neighbours', () => {
  const off = (...taps: readonly (readonly number[])[]) =>
    unevenLevels(taps.map((levelsDb, i) => tapWith(`${i}`, { levelsDb })));
  const bump = (db: number) => [-40, -38, -36 + db, -34, -32];

  it('is told with its setting and by how much, on all outputs alike.', () => {
    expect(off(bump(3), bump(3.2))).toMatchObject([
      {
        kind: 'setting',
        reason: { code: 'level off the line of its neighbours', settings: [14], offDb: expect.closeTo(3, 2) },
        tapIds: ['0', '1'],
        settings: [14],
      },
    ]);
    expect(off(bump(-3))).toMatchObject([{ reason: { offDb: expect.closeTo(-3, 2) } }]);
    expect(off(bump(3), bump(3.6))).toEqual([]);
    expect(off(bump(3), bump(0))).toEqual([]);
    expect(off()).toEqual([]);
  });

  it('is 2.5 dB from it, and its neighbours are a quarter of that off theirs, the other way.', () => {
    expect([off(bump(2.6)).length, off(bump(2.4)).length]).toEqual([1, 0]);
    // A law that bends once does so to one side.
    expect(off([-40, -38, -30, -28, -26])).toEqual([]);
    expect(off([-40, -36, -30, -34, -36])).toEqual([]);
    expect(off([-40, -38, -32])).toEqual([]);
  });

  it('lies on the line between settings that are not evenly apart.', () => {
    const settings = [10, 12, 18, 20, 22];
    const even = settings.map((setting) => setting - 50);
    const uneven = (db: number) =>
      unevenLevels([
        tapWith('a', { settings, levelsDb: even.map((level, i) => level + (i === 2 ? db : 0)) }),
      ]);
    expect(uneven(0)).toEqual([]);
    expect(uneven(3)).toEqual([]);
    // Twelve hundredths of it are what the setting two below is off by: a quarter of the difference over a longer way.
    expect(
      unevenLevels([tapWith('a', { settings: [10, 12, 14, 16, 18], levelsDb: [-40, -38, -32.5, -34, -32] })]),
    ).toHaveLength(1);
  });
});

describe('an arrival that moves with the setting', () => {
  const moved = (
    arrivals: readonly number[],
    of: Omit<Parameters<typeof tapWith>[1], 'arrivals'> = {},
    reference = arrivals.map(() => 0.001),
  ) => oddArrivals([tapWith('front', { arrivals: reference }), tapWith('rear', { arrivals, ...of })]);
  const at = (microseconds: number) => [0.002, 0.002, 0.002 + microseconds * 1e-6, 0.002, 0.002];

  it('is told from 10 microseconds on, with its setting and size, and takes that output’s alone.', () => {
    expect(moved(at(11))).toMatchObject([
      {
        kind: 'arrival',
        reason: {
          code: 'arrival differs between settings',
          settings: [14],
          microseconds: expect.closeTo(11, 0),
        },
        tapIds: ['rear'],
        settings: null,
      },
    ]);
    expect(moved(at(-11))).toHaveLength(1);
    expect(moved(at(9))).toEqual([]);
  });

  it('names no setting where most are odd.', () => {
    const drifting = [0, 20, 40, 60, 80].map((microseconds) => 0.002 + microseconds * 1e-6);
    expect(moved(drifting)).toMatchObject([
      { reason: { settings: [], microseconds: expect.closeTo(80, 0) } },
    ]);
  });

  it('is none of whole takes that are late, nor where nothing compares.', () => {
    expect(moved(at(30), {}, [0.001, 0.001, 0.00103, 0.001, 0.001])).toEqual([]);
    expect(moved(at(30), { upToHz: 1900 })).toEqual([]);
    expect(moved(at(30), { upToHz: 2100 })).toHaveLength(1);
    expect(moved(at(30), { origin: (setting) => `other ${setting}` })).toEqual([]);
    expect(oddArrivals([])).toEqual([]);
  });
});
