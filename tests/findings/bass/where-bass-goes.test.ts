import { describe, expect, it } from 'vitest';
import {
  type BassDifference,
  bassOnset,
  liftedUpTo,
  whyNotSteady,
} from '../../../src/findings/bass/bass-onset.ts';
import { BASS_FREQUENCIES_HZ } from '../../../src/model/finding.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { COUNT, level } from './level-of.ts';

/** Changes against the plateau, alike at all frequencies or one each. */
function difference(
  setting: number,
  db: number | (number | null)[],
  more: Partial<BassDifference> & { sigma?: number } = {},
): BassDifference {
  const { sigma = 0.05, ...rest } = more;
  return {
    level: level(setting, 0),
    changes: level(setting, db, sigma).relative,
    atMostDb: Array.from({ length: COUNT }, () => null),
    limitedByAtMostDb: 0,
    ...rest,
  };
}
const above = (...db: number[]) => db.map((value, i) => difference(20 + 4 * i, value));

describe('where bass begins to go', () => {
  it('is the first setting from which on half a decibel is lost and stays lost.', () => {
    expect(bassOnset(above(0, -0.3, -0.6, -3), null)).toMatchObject({
      lastIntact: 24,
      firstChanged: 28,
      thresholdDb: 0.5,
      doubt: null,
    });
    expect(bassOnset(above(0, 0, -0.4), null)).toBeNull();
    // Back to half of the threshold at the next setting: no onset there.
    expect(bassOnset(above(0, -0.6, -0.2, -3), null)).toMatchObject({ firstChanged: 32 });
    expect(bassOnset(above(0, -0.6, -0.3, -3), null)).toMatchObject({ firstChanged: 24 });
    expect(bassOnset(above(-3, -3), null)).toBeNull();
    expect(bassOnset(above(0), null)).toBeNull();
  });

  it('takes 4.5 standard deviations where noise is more than half a decibel’s ninth.', () => {
    const noisy = (db: number) =>
      bassOnset(
        [0, db].map((value, i) => difference(20 + 4 * i, value, { sigma: 0.4 })),
        null,
      );
    expect(noisy(-1.75)).toBeNull();
    expect(noisy(-1.85)).toMatchObject({ thresholdDb: expect.closeTo(1.8, 9) });
  });

  it('is told at the frequency that shows it most clearly.', () => {
    const only = (at: number) => Array.from({ length: COUNT }, (_, i) => (i === at ? -3 : -0.8));
    expect(bassOnset([difference(20, 0), difference(24, only(1))], null)?.atHz).toBe(BASS_FREQUENCIES_HZ[1]);
    expect(bassOnset([difference(20, 0), difference(24, only(2))], null)?.atHz).toBe(BASS_FREQUENCIES_HZ[2]);
  });

  it('cannot be laid to the volume where a limiter may have taken all of it.', () => {
    const limited = (limitedByAtMostDb: number) =>
      bassOnset([difference(20, 0), difference(24, -3, { limitedByAtMostDb })], null)?.doubt;
    expect(limited(2.4)).toBeNull();
    expect(codeOf(limited(2.6)!)).toBe('one drive only');
  });

  it('of an output held against another is level where all of its bass goes alike, within a decibel.', () => {
    const last = (spreadDb: number) => Array.from({ length: COUNT }, (_, i) => -4 - (i === 0 ? spreadDb : 0));
    const doubt = (spreadDb: number, reference: string | null) =>
      bassOnset([difference(20, 0), difference(24, last(spreadDb))], reference)?.doubt;
    expect(doubt(0.9, 'front')).toEqual({ code: 'all bass falls alike', referenceTapId: 'front' });
    expect(doubt(1.1, 'front')).toBeNull();
    expect(doubt(0.9, null)).toBeNull();
  });

  it('counts bass that sank into the noise by what is left at most.', () => {
    const none = Array.from({ length: COUNT }, () => null);
    const sunk = (atMost: number | null) =>
      bassOnset([difference(20, 0), difference(24, none, { atMostDb: none.map(() => atMost) })], null);
    expect(sunk(-6)).toMatchObject({ firstChanged: 24 });
    expect(sunk(-0.4)).toBeNull();
    expect(sunk(null)).toBeNull();
  });
});

describe('bass without an onset', () => {
  it('is lifted up to the highest setting that stands above the plateau.', () => {
    expect(liftedUpTo(above(3, 1, 0.2))).toBe(24);
    expect(liftedUpTo(above(0.4, -3))).toBeNull();
  });

  it('is not simply steady where it rises, drops once, hides, or noise is too much.', () => {
    const why = (below: BassDifference[], after: BassDifference[]) => {
      const reason = whyNotSteady({ below, above: after });
      return reason === null ? null : [codeOf(reason), (reason as { setting?: number }).setting];
    };
    expect(why([], above(0, 0.1, -0.2))).toBeNull();
    expect(why([], above(0, 0.6))).toEqual(['bass stands against the rest', 24]);
    expect(why([difference(12, -0.6)], above(0, 0))).toEqual(['bass stands against the rest', 12]);
    expect(why([difference(12, 0.6)], above(0, 0))).toBeNull();
    expect(why([], above(0, -0.6, 0))).toEqual(['bass lower at one setting only', 24]);
    const none = Array.from({ length: COUNT }, () => null);
    expect(why([], [difference(20, 0), difference(24, none)])).toEqual(['bass in the noise', 24]);
    expect(why([], [difference(20, 0, { sigma: 1.01 })])).toEqual([
      'noise hides a change of 2 dB',
      undefined,
    ]);
    expect(why([], [difference(20, 0, { sigma: 0.99 })])).toBeNull();
  });
});
