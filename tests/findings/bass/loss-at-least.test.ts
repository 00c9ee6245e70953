import { describe, expect, it } from 'vitest';
import type { BassLevels } from '../../../src/findings/bass/bass-levels.ts';
import { withoutLoneSettings } from '../../../src/findings/bass/lone-setting.ts';
import { largestLoss, lossAtLeast } from '../../../src/findings/bass/loss-at-least.ts';
import { steadyOnlySoFar } from '../../../src/findings/bass/steady-so-far.ts';
import { BASS_FREQUENCIES_HZ, type FindingOf } from '../../../src/model/finding.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import { levels } from './level-of.ts';

describe('a lone setting', () => {
  const without = (...db: number[]) => {
    const of = {
      perSetting: levels(...db),
      leftOut: [],
      referenceTapId: null,
      lossesAtLeast: false,
    } as BassLevels;
    const found = withoutLoneSettings(of);
    return [found.perSetting.map(({ setting }) => setting), found.leftOut.map(({ setting }) => setting)];
  };

  it('is more than a decibel lower than both neighbours, and is left out.', () => {
    expect(without(0, -1.1, 0)).toEqual([[10, 18], [14]]);
    expect(without(0, -0.9, 0)).toEqual([[10, 14, 18], []]);
    expect(without(0, -3, -3)).toEqual([[10, 14, 18], []]);
    expect(without(-3, 0, 0)).toEqual([[10, 14, 18], []]);
    expect(without(0, 3, 0)).toEqual([[10, 14, 18], []]);
  });
});

describe('what is surely lost without a plateau', () => {
  const changes = (...rows: (number | null)[]): FindingOf<'bass-change'>['changes'] =>
    rows.map((db, i) => ({
      setting: 10 + 4 * i,
      changeDb: BASS_FREQUENCIES_HZ.map((_, at) =>
        db === null
          ? notMeasurable({ code: 'volts not known' })
          : measured({ value: at === 1 ? 2 * db : db, plusMinus: 0.1 }),
      ),
    }));

  it('is the largest loss of all, where and by how much.', () => {
    expect(largestLoss(changes(0, -2, -5, -4))).toEqual({
      toSetting: 18,
      atHz: BASS_FREQUENCIES_HZ[1],
      lossDb: { value: 10, plusMinus: 0.1 },
    });
    expect(largestLoss(changes(null))).toBeNull();
  });

  it('is told where bass still falls by half a decibel at the end and is no contour that ends.', () => {
    const atLeast = (db: number[], reference = 2) =>
      lossAtLeast({
        finding: { changes: changes(...db.map((one) => one - db[0])) },
        reference: levels(...db).slice(0, reference),
        levels: levels(...db),
      });
    expect(atLeast([0, -0.2, -2, -5])).toMatchObject({ fromSetting: 10, toSetting: 22 });
    expect(atLeast([1.2, 1, -3.4, -3.8])).toBeNull();
    expect(atLeast([1.2, 1, -3.2, -3.8])).not.toBeNull();
    // Two settings that are flat are what the radio does when it does nothing, whether it still falls at the end or not.
    expect(atLeast([0, -0.2, -4.6, -5])).not.toBeNull();
    expect(atLeast([0, -0.2, -1.2, -1.3])).toBeNull();
    expect(atLeast([0, -4.6, -5], 1)).toBeNull();
    // Begins 5 dB above the middle: how much of that a contour lifts, and takes back, nobody knows.
    expect(atLeast([5, 4.8, 2, -1])).toBeNull();
    expect(atLeast([5, 4.8, 2, -4])).toBeNull();
    // A middle 12 dB and more below the bass lies outside the band of a subwoofer output.
    expect(atLeast([22, 21.8, 20, 14])).not.toBeNull();
    expect(atLeast([22, 21.8, 20, 11.9])).toBeNull();
    expect(atLeast([22, 20, 14], 1)).toBeNull();
    expect(atLeast([2.5, 2.4, 1, -1])).not.toBeNull();
    // One low setting alone is a reference only where its response is even, within 6 dB.
    expect(atLeast([0, -2, -5], 1)).not.toBeNull();
    expect(atLeast([-7, -9, -12], 1)).toBeNull();
    expect(atLeast([0, -2], 1)).toBeNull();
    // More than any contour lifts needs two settings only (the helper doubles the loss at one frequency).
    expect(atLeast([0, -6.1], 1)).not.toBeNull();
    expect(atLeast([0, -5.9], 1)).toBeNull();
    expect(atLeast([5, -3.2], 1)).toBeNull();
  });
});

describe('bass that holds', () => {
  const finding = (verdict: string) =>
    ({
      verdict,
      changes: [{ setting: 20 }, { setting: 24 }],
      reason: null,
      recordNext: null,
    }) as unknown as FindingOf<'bass-change'>;

  it('holds so far only where louder settings are open.', () => {
    expect(steadyOnlySoFar(finding('steady'), [28, 32])).toMatchObject({
      verdict: 'cannot be told',
      reason: { code: 'steady only so far', upToSetting: 24, openSettings: [28, 32] },
      recordNext: 32,
    });
    expect(steadyOnlySoFar(finding('steady'), [24, 12]).verdict).toBe('steady');
    expect(steadyOnlySoFar(finding('falls with volume'), [28]).verdict).toBe('falls with volume');
  });
});
