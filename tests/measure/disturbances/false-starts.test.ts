import { describe, expect, test } from 'vitest';
import { falseStarts } from '../../../src/measure/disturbances/false-starts.ts';
import type { TakeFacts } from '../../../src/model/check.ts';

const WHOLE = { levelDbFs: -20 as number | null, clock: 37, missing: [] as string[] };
function take(of: Partial<{ levelDbFs: number | null; clock: number | null; missing: string[] }>): TakeFacts {
  const { levelDbFs, clock, missing } = { ...WHOLE, ...of };
  return {
    file: 'all.wav',
    setting: null,
    takeStartSeconds: 0,
    track: 'full',
    missingSections: missing,
    clockPpm: clock === null ? null : { value: clock, plusMinus: 0.1 },
    channels: [
      {
        tapId: 'front-left',
        channel: 1,
        levelDbFs,
        peakDbFs: -10,
        clippedRuns: 0,
        clippedFromDriveDbFs: null,
        gainChangeDb: null,
        ladderSpreadDb: null,
        dcOffset: 0,
        noiseDbFs: null,
        carries: 'left',
        sameAsTapId: null,
        mutedUpToHz: null,
        knocks: [],
      },
    ],
  };
}
const stopped = { clock: null, missing: ['closing left', 'closing right'] };

describe('a track that was stopped and played again', () => {
  test('is a false start where the next one is whole and as loud', () => {
    expect(falseStarts([take(stopped), take({})])).toEqual([true, false]);
    expect(falseStarts([take({ missing: ['closing right'] }), take({})])).toEqual([true, false]);
  });

  test('is a take of its own where the volume was moved, or nothing whole follows', () => {
    expect(falseStarts([take(stopped), take({ levelDbFs: -16 })])).toEqual([false, false]);
    expect(falseStarts([take({}), take(stopped)])).toEqual([false, false]);
    const louder = (levelDbFs: number | null) => falseStarts([take({ ...stopped, levelDbFs }), take({})])[0];
    expect([louder(-19.71), louder(-19.69), louder(-20.29), louder(-20.31)]).toEqual([
      true,
      false,
      true,
      false,
    ]);
    expect(louder(null)).toBe(false);
    expect(falseStarts([take({ ...stopped, levelDbFs: null }), take({ levelDbFs: null })])[0]).toBe(true);
    expect(falseStarts([take(stopped), take(stopped)])).toEqual([false, false]);
  });

  test('two whole takes at one level are repeats', () => {
    expect(falseStarts([take({}), take({})])).toEqual([false, false]);
  });
});
