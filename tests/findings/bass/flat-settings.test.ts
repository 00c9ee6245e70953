import { describe, expect, it } from 'vitest';
import { findBassChanges } from '../../../src/findings/bass/bass-change.ts';
import { tapSeries } from '../../../src/findings/tap-series.ts';
import { findingsOf } from '../../../src/model/finding.ts';
import { measurementsOf, sessionOf, shelf, tapOf } from '../synthetic.ts';

/** A radio with a low shelf of so many decibels at each setting, which the volume steps by 1 dB. */
function bassOf(shelfDb: Readonly<Record<number, number>>) {
  const settings = Object.keys(shelfDb).map(Number);
  const radio = {
    gainDb: (setting: number) => setting - 40,
    filters: (setting: number) => [shelf(110, shelfDb[setting])],
  };
  const measurements = measurementsOf({ radio, settings });
  const findings = findBassChanges(tapSeries({ session: sessionOf([tapOf()]), measurements }));
  const [bass] = findingsOf(findings, 'bass-change');
  return { bass, contours: findingsOf(findings, 'loudness-contour') };
}

// What a low shelf of 8 dB at 110 Hz takes at 40 Hz by its closed form (W3C Audio EQ Cookbook): 7.8 dB.
describe('settings at which the bass is flat', () => {
  it('are none where the loss may be a contour that ends, or a wander', () => {
    expect(bassOf({ 8: 8, 14: 8, 20: 3, 26: 0 }).bass.verdict).toBe('cannot be told');
    expect(bassOf({ 8: 0, 14: 0, 20: -1, 26: -2 }).bass).toMatchObject({ plateauSettings: [] });
  });

  it('are looked for next in the widest gap of the lower half, where a plateau lies if there is one', () => {
    const next = (shelfDb: Readonly<Record<number, number>>) => {
      const { verdict, recordNext } = bassOf(shelfDb).bass;
      return [verdict, recordNext];
    };
    expect(next({ 5: 8, 20: 4, 30: 0 })).toEqual(['cannot be told', 12]);
    expect(next({ 5: 8, 10: 6, 30: 4, 36: 2, 60: 0 })).toEqual(['cannot be told', 20]);
    expect(next({ 5: 8, 6: 6, 7: 4, 20: 2, 30: 0 })).toEqual(['cannot be told', null]);
  });

  it('are held against where a contour lifts those below: one of them tells a loss at least, and the contour', () => {
    const { bass, contours } = bassOf({ 5: 8, 10: 5, 15: 2, 20: 0, 25: -4, 30: -8 });
    expect(bass).toMatchObject({
      verdict: 'falls with volume',
      atLeast: { fromSetting: 20, toSetting: 30, lossDb: { value: expect.closeTo(7.8, 1) } },
    });
    expect(contours).toMatchObject([{ upToSetting: 15 }]);
    expect(bass.recordNext).toBe(17);
  });

  it('are the longest run of them', () => {
    const { bass, contours } = bassOf({ 5: 8, 10: 4, 15: 0, 20: 0, 25: -6, 30: -6.3 });
    expect(bass.atLeast).toMatchObject({ fromSetting: 15, lossDb: { value: expect.closeTo(6.17, 1) } });
    expect(contours).toMatchObject([{ upToSetting: 10 }]);
  });
});
