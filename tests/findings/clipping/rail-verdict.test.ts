import { describe, expect, it } from 'vitest';
import { findRail, voltsWithheld } from '../../../src/findings/clipping/rail.ts';
import type { TapSeries } from '../../../src/findings/tap-series.ts';
import type { Finding } from '../../../src/model/finding.ts';
import { notMeasurable } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { sessionOf, tapOf } from '../synthetic.ts';

interface Point {
  readonly setting: number;
  /** Peak at which the tone meets the limit; null where it does not clip. */
  readonly voltsPeak: number | null;
  readonly sigmaDb?: number;
  readonly supplyVolts?: number | null;
  readonly relative?: number;
  readonly cleanUpToDriveDbFs?: number;
}
/** One tone that meets a limit of volts: the drive falls by a decibel a setting. */
function railOf(points: readonly Point[], of: { oneLeg?: boolean; sessionVolts?: number | null } = {}) {
  const takes = points.map((point) => {
    const { setting, voltsPeak, sigmaDb = 0, supplyVolts = null, relative = 0.01 } = point;
    const levelDbFs = voltsPeak === null ? 0 : 20 * Math.log10(voltsPeak / Math.SQRT2 / 20);
    const onset =
      voltsPeak === null
        ? notMeasurable({ code: 'none seen', driveDbFs: 0 })
        : {
            driveDbFs: 30 - setting,
            driveSigmaDb: sigmaDb,
            levelDbFs,
            clipPointLevelDbFs: levelDbFs,
            distortion: 'as recorded',
          };
    return {
      setting,
      measurement: {
        evidence: [],
        voltsPerFullScale: { volts: 20, relativeUncertainty: relative },
        supplyVolts,
      },
      tones: [{ toneHz: 997, onset, cleanUpToDriveDbFs: point.cleanUpToDriveDbFs ?? 0 }],
    };
  });
  const tap = tapOf(of.oneLeg ? { connection: 'one leg' } : {});
  return findRail({
    series: { tap, takes } as unknown as TapSeries,
    session: sessionOf([tap], of.sessionVolts === undefined ? 14.4 : of.sessionVolts),
  });
}
const at = (voltsPeak: number, part: Partial<Point> = {}): Point[] => [
  { setting: 34, voltsPeak, ...part },
  { setting: 36, voltsPeak, ...part },
];
const verdict = (voltsPeak: number, of: Parameters<typeof railOf>[1] = {}, part: Partial<Point> = {}) => {
  const { verdict: found, question } = railOf(at(voltsPeak, part), of)!;
  return [found, question === null ? null : codeOf(question)];
};

describe('the volts at which an output clips, against its supply', () => {
  it('are the median of the settings, as uncertain as calibration and drive (two standard deviations).', () => {
    const found = railOf([
      { setting: 32, voltsPeak: 12 },
      { setting: 34, voltsPeak: 12.6, sigmaDb: 0.1 },
      { setting: 36, voltsPeak: 14 },
    ]);
    expect(found).toBeNull();
    const level = railOf(at(12.6, { sigmaDb: 0.1, relative: 0.03 }))!;
    // 2 x 0.1 dB is 2.3 %.
    expect(level.clipVoltsPeak).toEqual({
      value: expect.closeTo(12.6, 6),
      plusMinus: expect.closeTo(12.6 * Math.hypot(0.03, (0.2 * Math.LN10) / 20), 4),
    });
    expect(level).toMatchObject({ id: 'rail:front-left', tapIds: ['front-left'] });
  });

  it('lie 1 to 2 V below it for a bridged stage, with 6 % of slack at either end.', () => {
    expect(railOf(at(12.6))!.expectedVoltsPeak).toEqual([expect.closeTo(12.4, 9), expect.closeTo(13.4, 9)]);
    expect(verdict(12.6)).toEqual(['as the supply allows', null]);
    // 12.4 less 6 % is 11.66, 14.4 and 6 % are 15.26.
    expect([verdict(11.7)[0], verdict(15.2)[0]]).toEqual(['as the supply allows', 'as the supply allows']);
    expect([verdict(11.6)[0], verdict(15.3)]).toEqual([
      'not told',
      ['above the supply', 'boosted supply, or calibration too high'],
    ]);
    expect(verdict(15.5, {}, { relative: 0.09 })[0]).toBe('as the supply allows');
  });

  it('are half of it where one leg was recorded, and then twice too much where one leg was noted.', () => {
    expect(verdict(6.3)).toEqual(['half of it', 'one leg instead of the pair']);
    expect([verdict(5.9)[0], verdict(7.6)[0]]).toEqual(['half of it', 'half of it']);
    expect([verdict(5.7)[0], verdict(7.7)[0]]).toEqual(['far below', 'far below']);
    expect(verdict(6.3, { oneLeg: true })[0]).toBe('far below');
    expect(verdict(16, { oneLeg: true })).toEqual(['above the supply', 'one leg noted, pair recorded']);
  });

  it('are far below from 0.8 of what is expected down: a limiter, or a wrong pad.', () => {
    expect(verdict(9.9)).toEqual(['far below', 'limiter, or pad entered wrong']);
    expect(verdict(10)).toEqual(['not told', null]);
  });

  it('are held to the supply of the takes, else of the session, else to what is usual.', () => {
    expect(railOf(at(12, { supplyVolts: 13 }))!.expectedVoltsPeak).toEqual([
      expect.closeTo(11, 9),
      expect.closeTo(12, 9),
    ]);
    const two = [
      { setting: 34, voltsPeak: 12, supplyVolts: 13 },
      { setting: 36, voltsPeak: 12, supplyVolts: 14 },
    ];
    expect(railOf(two)!.expectedVoltsPeak).toEqual([expect.closeTo(11, 9), expect.closeTo(13, 9)]);
    // 12.2 to 15 V with smart charging (common practice).
    expect(railOf(at(12), { sessionVolts: null })!.expectedVoltsPeak).toEqual([
      expect.closeTo(10.2, 9),
      expect.closeTo(14, 9),
    ]);
  });

  it('are told of the loudest setting alone where the next quieter one took the same drive cleanly.', () => {
    const alone = (cleanUpToDriveDbFs: number, loudest = 36) =>
      railOf([
        { setting: 32, voltsPeak: null, cleanUpToDriveDbFs: 0 },
        { setting: 34, voltsPeak: null, cleanUpToDriveDbFs },
        { setting: 35, voltsPeak: 12.6 },
        ...(loudest > 36 ? [{ setting: loudest, voltsPeak: null }] : []),
      ]);
    // It clips at -5 dBFS of drive.
    expect(alone(-4.9)).not.toBeNull();
    expect(alone(-5.1)).toBeNull();
    expect(alone(-4.9, 40)).toBeNull();
  });
});

describe('volts that wait for an answer', () => {
  const rail = (part: object) =>
    ({
      kind: 'rail',
      verdict: 'as the supply allows',
      question: null,
      clipVoltsPeak: { value: 4, plusMinus: 0 },
      expectedVoltsPeak: [12, 14],
      ...part,
    }) as unknown as Finding;
  const withheld = (verdict: string, value = 4) =>
    voltsWithheld([rail({}), rail({ verdict, clipVoltsPeak: { value }, question: { code: verdict } })]);

  it('are those of a slip: half, too much, or less than a quarter.', () => {
    expect(withheld('half of it')).toEqual({ code: 'half of it' });
    expect(withheld('above the supply')).toEqual({ code: 'above the supply' });
    expect([withheld('far below', 2.9), withheld('far below', 3.1)]).toEqual([{ code: 'far below' }, null]);
    expect([withheld('not told'), voltsWithheld([])]).toEqual([null, null]);
  });
});
