import { describe, expect, test } from 'vitest';
import { againstOrder } from '../../../src/measure/remarks/against-order.ts';
import type { ChannelFacts, TakeFacts } from '../../../src/model/check.ts';
import { codeOf } from '../../../src/model/reason.ts';

const take = (setting: number, levelDbFs: number): TakeFacts => ({
  file: `${setting}.wav`,
  setting,
  takeStartSeconds: 1,
  track: 'full',
  missingSections: [],
  clockPpm: null,
  channels: [{ tapId: 'a', levelDbFs } as ChannelFacts],
});
const said = (levels: readonly number[]) => {
  const takes = levels.map((levelDb, i) => take(10 * (i + 1), levelDb));
  return [...againstOrder(takes)].map(([{ setting }, [{ reason }]]) => [setting, reason]);
};

describe('levels that rise with the setting', () => {
  test('say nothing, nor do those of a tap of fixed level', () => {
    expect(said([-40, -30, -20, -10])).toEqual([]);
    expect(said([-20, -20.1, -20, -20.1])).toEqual([]);
  });

  test('two exchanged are both named, and the one between them is not', () => {
    const reason = { code: 'settings exchanged', settings: [10, 30] };
    expect(said([-20, -30, -40, -10])).toEqual([
      [10, reason],
      [30, reason],
    ]);
  });

  test('two exchanged were so on all of their outputs that are heard: where one alone shows it, something else was moved', () => {
    const EXCHANGED = [-20, -30, -40, -10];
    const both = (other: readonly (number | null)[]) => {
      const takes = EXCHANGED.map((levelDb, i) => {
        const one = take(10 * (i + 1), levelDb);
        return { ...one, channels: [...one.channels, { tapId: 'b', levelDbFs: other[i] } as ChannelFacts] };
      });
      return [...againstOrder(takes)].map(([{ setting }, remarks]) => [
        setting,
        remarks.map(({ tapIds, reason }) => [tapIds.join(' '), codeOf(reason)]),
      ]);
    };
    const at = (...remarks: [string, string][]) => [10, 30].map((setting) => [setting, remarks]);
    expect(both(EXCHANGED)).toEqual(at(['a b', 'settings exchanged']));
    expect(both([null, null, null, null])).toEqual(at(['a', 'settings exchanged']));
    expect(both([-40, -30, -20, -10])).toEqual(at(['a', 'level fits no neighbour']));
  });

  test('an output of bass that a loudness contour lifts at the lowest setting stands against nothing', () => {
    // 10 dB of contour on 3 dB of volume: quieter at 20 than at 10, while the front follows the volume.
    const ofBass = (bassUpToHz: number, front: readonly number[] = [-40, -37, -34, -31]) => {
      const takes = [-30, -37, -34, -31].map((levelDbFs, i) => {
        const channels = [
          { tapId: 'front', levelDbFs: front[i], upToHz: 20_000 },
          { tapId: 'bass', levelDbFs, upToHz: bassUpToHz },
        ] as ChannelFacts[];
        return { ...take(10 * (i + 1), 0), channels };
      });
      return [...againstOrder(takes).values()].flat().flatMap(({ tapIds }) => tapIds);
    };
    expect(ofBass(400)).toEqual([]);
    expect(ofBass(20_000)).toEqual(['bass']);
    expect(ofBass(400, [-30, -37, -34, -31])).toEqual(['front', 'bass']);
  });

  test('one that no exchange explains is named alone', () => {
    expect(said([-40, -5, -30, -20])).toEqual([[20, { code: 'level fits no neighbour', settings: [20] }]]);
  });

  test('two of one level in the middle of a rise are both named, at an end they are not', () => {
    expect(said([-40, -30, -30, -20]).map(([setting]) => setting)).toEqual([20, 30]);
    expect(said([-40, -30, -20, -20])).toEqual([]);
  });
});
