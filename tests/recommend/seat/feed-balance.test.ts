import { describe, expect, it } from 'vitest';
import type { Converter, EquipmentInput } from '../../../src/model/equipment.ts';
import { measured } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';
import { feedBalance } from '../../../src/recommend/seat/feed-balance.ts';
import { contextOf } from '../chain/context.ts';
import { pair, type SyntheticTap } from '../synthetic.ts';

const CENTRE: SyntheticTap = { id: 'middle', side: 'both', position: 'centre' };
const balance = (
  outputs: readonly Feed['output'][],
  of: { taps?: readonly SyntheticTap[]; equipment?: object | null } = {},
) =>
  feedBalance(
    contextOf({ taps: of.taps ?? pair('front'), equipment: (of.equipment ?? null) as EquipmentInput | null }),
    outputs.map((output) => ({ output }) as Feed),
  );
const codes = (...of: Parameters<typeof balance>) => balance(...of)?.reasons.map(codeOf);
const levels = (...of: Parameters<typeof balance>) =>
  balance(...of)?.levels.map(({ output, againstFrontDb }) => [output, againstFrontDb]);

describe('where the levels of the feeds start', () => {
  it('is nothing to be said of a front alone; rears start 6 dB lower, a subwoofer is turned at the seat.', () => {
    expect(balance(['front', 'front'])).toBeNull();
    expect(levels(['front', 'rear', 'subwoofer'])).toEqual([
      ['front', 0],
      ['rear', -6],
      ['subwoofer', null],
    ]);
    expect(codes(['front', 'subwoofer'])).toEqual(['subwoofer is turned at the seat']);
    // Rears without a front are no fill.
    expect(levels(['rear', 'subwoofer'])).toEqual([
      ['rear', 0],
      ['subwoofer', null],
    ]);
    expect(balance(['rear', 'subwoofer'])?.rearFill).toBeNull();
  });

  it('fills in from 250 Hz to 4 kHz, 10 to 20 ms late where a part can wait for 10 ms.', () => {
    const part = (maximumDelaySeconds: number) => ({
      converter: { inputs: 4, inputLimitVoltsRms: 20, maximumDelaySeconds } satisfies Partial<Converter>,
    });
    const fill = (equipment: object | null) => balance(['front', 'rear'], { equipment })?.rearFill;
    expect(fill(part(0.01))).toEqual({
      levelDb: -6,
      bandHz: [250, 4000],
      delaySeconds: [0.01, 0.02],
      canDelay: true,
    });
    expect([fill(part(0.0099))?.canDelay, fill(null)?.canDelay]).toEqual([false, false]);
    expect(codes(['front', 'rear'], { equipment: part(0.02) })).toEqual(['rears start lower and late']);
    expect(codes(['front', 'rear'])).toEqual(['rears start lower and late', 'rears as a second front']);
  });

  it('says of a centre whether it is fed, stays with the radio, or cannot be had.', () => {
    const fed = { amplifiers: [{ feeds: ['front', 'centre'], ratedWatts: 75 }] };
    const taps = [...pair('front'), CENTRE];
    expect(balance(['front', 'centre'], { taps, equipment: fed })?.centre).toBe('own output');
    expect(balance(['front'], { taps })?.centre).toBe('stays with the radio');
    expect(balance(['front'], { equipment: fed })?.centre).toBe('no output of its own');
    expect(codes(['front'], { equipment: fed })).toEqual([
      'no centre output',
      'left plus right is no centre',
    ]);
    expect(balance(['front', 'subwoofer'])?.centre).toBe('not asked for');
    expect(codes(['front'], { taps })).toEqual(['centre carries its own sound']);
    const edge = (value: number) => ({
      side: 'low',
      minus3Hz: measured({ value, plusMinus: 1 }),
      minus6Hz: measured({ value, plusMinus: 1 }),
    });
    const cut = { ...CENTRE, band: { lowEdge: edge(200) } as object };
    expect(balance(['front'], { taps: [...pair('front'), cut] })?.reasons).toEqual([
      { code: 'centre carries its own sound', tapId: 'middle' },
      { code: 'centre ends within the band', fromHz: 200, toHz: null },
    ]);
  });
});
