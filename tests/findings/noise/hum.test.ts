import { describe, expect, it } from 'vitest';
import { humOf } from '../../../src/findings/noise/hum.ts';
import { fitComb } from '../../../src/findings/noise/line-comb.ts';
import { lineOrigins } from '../../../src/findings/noise/line-origins.ts';
import { movedLines } from '../../../src/findings/noise/moved-lines.ts';
import type { NoiseTake } from '../../../src/model/finding.ts';
import { notMeasurable } from '../../../src/model/measured.ts';

const lines = (...hz: number[]) => hz.map((frequencyHz, i) => ({ frequencyHz, levelDbFs: -90 - i }));

// Mains is 50 or 60 Hz by country; rectified hum is twice that.
describe('hum', () => {
  it('is the one whose multiples explain more lines, within 0.6 Hz or 0.3 %.', () => {
    expect(humOf([50, 150])).toBe(50);
    expect(humOf([60, 180])).toBe(60);
    expect(humOf([50.5, 150.5])).toBe(50);
    expect(humOf([50.7, 150.7])).toBeNull();
    expect(humOf([451.2, 250])).toBe(50);
    expect(humOf([120, 180, 50])).toBe(60);
  });

  it('is told by one line only where that is its first or second multiple.', () => {
    expect(humOf([100])).toBe(50);
    expect(humOf([120])).toBe(60);
    expect(humOf([150])).toBeNull();
    expect(humOf([180])).toBeNull();
    expect(humOf([50])).toBe(50);
  });

  it('is not told where both explain as many, or by multiples above the twelfth.', () => {
    expect(humOf([300, 600])).toBeNull();
    expect(humOf([50, 60])).toBeNull();
    expect(humOf([])).toBeNull();
    expect(humOf([600, 550, 650])).toBe(50);
    expect(humOf([650, 700])).toBeNull();
    expect(humOf([20])).toBeNull();
  });
});

describe('a comb', () => {
  it('is the highest fundamental that explains most of the lines, refined over them.', () => {
    expect(fitComb(lines(100, 200, 300))).toBeCloseTo(100, 9);
    // Its fundamental is missing: 2, 3 and 5 times 40 Hz.
    expect(fitComb(lines(80, 120, 200))).toBeCloseTo(40, 9);
    expect(fitComb(lines(120, 150, 180, 210))).toBeCloseTo(30, 9);
    // A line that belongs to nothing is left out: 1.5 % decides.
    expect(fitComb(lines(100, 200, 301, 443))).toBeCloseTo((100 + 400 + 903) / 14, 9);
    expect(fitComb(lines(100, 203.5))).toBeCloseTo(100, 9);
    expect(fitComb(lines(100, 202))).toBeCloseTo((100 + 404) / 5, 9);
  });
});

describe('lines that move with the engine', () => {
  const moved = (idle: number[], fast: number[], rpm: [number | null, number | null] = [null, null]) =>
    movedLines({
      idle: { lines: lines(...idle), rpm: rpm[0] },
      fast: { lines: lines(...fast), rpm: rpm[1] },
    });

  it('all do by one ratio, within 1.5 %.', () => {
    const found = moved([100, 200, 330], [300, 602, 777]);
    expect(found?.ratio).toBeCloseTo(3, 1);
    expect(found?.pairs.map(({ slow, quick }) => [slow.frequencyHz, quick.frequencyHz])).toEqual([
      [100, 300],
      [200, 602],
    ]);
    expect(moved([100, 200], [300, 612])?.pairs).toHaveLength(1);
  });

  it('are none where most of them have no partner, or the ratio is no engine’s: 1.3 to 7.', () => {
    expect(moved([100, 211, 337, 457], [310, 2000, 3000, 5000])).toBeNull();
    expect(moved([100], [125])).toBeNull();
    expect(moved([100], [131])?.ratio).toBeCloseTo(1.31, 9);
    expect(moved([100], [699])?.ratio).toBeCloseTo(6.99, 9);
    expect(moved([100], [720])).toBeNull();
    expect(moved([100], [])).toBeNull();
  });

  it('move as the dash says, within 8 %.', () => {
    expect(moved([100], [324], [800, 2400])?.ratio).toBeCloseTo(3.24, 9);
    expect(moved([100], [326], [800, 2400])).toBeNull();
    expect(moved([100], [277], [800, 2400])?.ratio).toBeCloseTo(2.77, 9);
    expect(moved([100], [275], [800, 2400])).toBeNull();
    expect(moved([100], [275], [800, null])?.ratio).toBeCloseTo(2.75, 9);
  });
});

describe('what lines belong to', () => {
  const take = (engine: NoiseTake['engine'], hz: number[], more: Partial<NoiseTake> = {}): NoiseTake => ({
    engine,
    rpm: null,
    setting: null,
    levelDbFs: -80,
    levelVolts: notMeasurable({ code: 'volts not known' }),
    lines: lines(...hz),
    ...more,
  });

  it('names the fundamental, periods a revolution, and each line once.', () => {
    const found = lineOrigins([
      take('off', [50, 100]),
      take('idle', [50.4, 400, 800], { rpm: 800 }),
      take('fast', [100, 1200, 2400], { rpm: 2400 }),
    ]);
    expect(found).toEqual([
      {
        origin: 'mains',
        moves: false,
        atVolumeZero: false,
        combs: [
          {
            engine: 'off',
            fundamentalHz: 50,
            perRevolution: null,
            // Each once, at its strongest.
            lines: [
              { frequencyHz: 50, levelDbFs: -90 },
              { frequencyHz: 100, levelDbFs: -90 },
            ],
          },
        ],
      },
      {
        origin: 'alternator',
        moves: true,
        atVolumeZero: false,
        combs: [
          expect.objectContaining({
            engine: 'idle',
            fundamentalHz: 400,
            perRevolution: expect.closeTo(30, 9),
          }),
          expect.objectContaining({
            engine: 'fast',
            fundamentalHz: 1200,
            perRevolution: expect.closeTo(30, 9),
          }),
        ],
      },
    ]);
  });

  it('parts engine sound from alternator at twelve periods a revolution: 160 Hz at 800.', () => {
    const of = (hz: number, more: Partial<NoiseTake> = { rpm: 800 }) =>
      lineOrigins([take('off', []), take('idle', [hz], more)])[0];
    expect(of(161)).toMatchObject({ origin: 'alternator', moves: null });
    expect(of(159)).toMatchObject({ origin: 'engine sound' });
    // Nobody noted a speed: 800 is usual at idle, 2500 with the pedal held.
    expect(of(161, {}).origin).toBe('alternator');
    expect(of(159, {}).origin).toBe('engine sound');
    const fast = (hz: number) => lineOrigins([take('off', []), take('fast', [hz])])[0].origin;
    expect([fast(501), fast(499)]).toEqual(['alternator', 'engine sound']);
    // Idle not noted, the higher speed is: 3000 over a ratio of 3 is 1000, of which 190 Hz are 11.4 periods.
    const moved = lineOrigins([take('off', []), take('idle', [190]), take('fast', [570], { rpm: 3000 })]);
    expect(moved[0]).toMatchObject({ origin: 'engine sound', moves: true });
  });

  it('says whether they are heard with the volume at zero.', () => {
    const at = (setting: number | null) =>
      lineOrigins([take('off', [731], { setting }), take('idle', [400], { setting, rpm: 800 })]).map(
        ({ origin, atVolumeZero }) => [origin, atVolumeZero],
      );
    expect(at(0)).toEqual([
      ['steady', true],
      ['alternator', true],
    ]);
    expect(at(10)).toEqual([
      ['steady', false],
      ['alternator', false],
    ]);
  });

  it('counts a line within 1 Hz, or 0.3 %, of another for the same.', () => {
    const stays = (off: number, idle: number) =>
      lineOrigins([take('off', [off]), take('idle', [idle])]).length === 1;
    expect(stays(100, 100.9)).toBe(true);
    expect(stays(100, 101.2)).toBe(false);
    expect(stays(1000, 1002.9)).toBe(true);
    expect(stays(1000, 1003.5)).toBe(false);
  });
});
