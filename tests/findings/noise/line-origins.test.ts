import { describe, expect, it } from 'vitest';
import { lineOrigins } from '../../../src/findings/noise/line-origins.ts';
import type { NoiseTake } from '../../../src/model/finding.ts';
import { notMeasurable } from '../../../src/model/measured.ts';
import { asWritten } from '../../../src/model/reason.ts';

function take(engine: NoiseTake['engine'], linesHz: readonly number[], rpm: number | null = null): NoiseTake {
  return {
    engine,
    rpm,
    setting: null,
    levelDbFs: -80,
    levelVolts: notMeasurable(asWritten('not calibrated')),
    lines: linesHz.map((frequencyHz, i) => ({ frequencyHz, levelDbFs: -90 - i })),
  };
}

/** Lines of an engine that turns `rpm`, `perRevolution` periods and their multiples. */
function lines(perRevolution: number, rpm: number, count = 3): number[] {
  return Array.from({ length: count }, (_, k) => ((k + 1) * perRevolution * rpm) / 60);
}

const origins = (takes: readonly NoiseTake[]) => lineOrigins(takes).map(({ origin }) => origin);

describe('Lines of noise takes', () => {
  // Lines a revolution: 6 x ratio x pole pairs, ratio 2 to 3.5 and 6 to 8 pole pairs (common practice).
  it.each([
    ['2 times as fast, 6 pole pairs', 72],
    ['2.7 times, 7 pole pairs', 113.4],
    ['3.5 times, 8 pole pairs', 168],
  ])(
    'are an alternator’s where they move with an engine whose speed nobody noted: %s.',
    (_, perRevolution) => {
      for (const [idle, fast] of [
        [650, 1800],
        [800, 3000],
        [950, 3600],
      ]) {
        const found = origins([
          take('off', []),
          take('idle', lines(perRevolution, idle)),
          take('fast', lines(perRevolution, fast)),
        ]);
        expect(found).toEqual(['alternator']);
      }
    },
  );

  it('are an alternator’s by its phases alone, 12 a revolution, where the speed was noted.', () => {
    const at = (rpm: number) => lines(12.5, rpm);
    expect(origins([take('idle', at(650), 650), take('fast', at(1800), 1800)])).toEqual(['alternator']);
  });

  // Firing orders of four, six and eight cylinders, four-stroke: half as many a revolution as there are cylinders.
  it.each([2, 3, 4])('are sounds of the engine at %d periods a revolution.', (perRevolution) => {
    expect(
      origins([take('idle', lines(perRevolution, 780, 2)), take('fast', lines(perRevolution, 2900, 2))]),
    ).toEqual(['engine sound']);
  });

  it('still move together where the engine wanders by a percent and the dash is read 5 % wrong.', () => {
    const [idle, fast] = [lines(93.6, 780), lines(93.6, 2940)].map((each) =>
      each.map((hz, i) => hz * (1 + 0.004 * (i - 1))),
    );
    const [origin] = lineOrigins([take('idle', idle, 740), take('fast', fast, 3000)]);
    expect(origin).toMatchObject({ origin: 'alternator', moves: true });
    expect(origin.combs[0].fundamentalHz / lines(93.6, 780)[0]).toBeCloseTo(1, 2);
  });

  it('that stand still between two speeds are not the engine’s, without a take with the engine off too.', () => {
    const hum = [50, 100, 150];
    expect(
      origins([take('idle', [...hum, ...lines(93.6, 780)]), take('fast', [...hum, ...lines(93.6, 2940)])]),
    ).toEqual(['mains', 'alternator']);
  });

  it('are told once each, at their strongest, from low to high; at volume zero where one take was there.', () => {
    const louder = take('off', [180, 60.3, 120], 0);
    const zero = (setting: number | null) => ({
      ...take('off', [60, 120]),
      setting,
      lines: [{ frequencyHz: 60, levelDbFs: -70 }],
    });
    const told = (setting: number | null) => lineOrigins([louder, zero(setting)])[0];
    expect(told(0)).toMatchObject({ origin: 'mains', moves: null, atVolumeZero: true });
    expect(told(0).combs).toEqual([
      {
        engine: 'off',
        fundamentalHz: 60,
        perRevolution: null,
        lines: [
          { frequencyHz: 60, levelDbFs: -70 },
          { frequencyHz: 120, levelDbFs: -92 },
          { frequencyHz: 180, levelDbFs: -90 },
        ],
      },
    ]);
    expect([told(1).atVolumeZero, told(null).atVolumeZero]).toEqual([false, false]);
    // A line at volume zero that belongs to something else says nothing of these.
    const other = { ...take('idle', [731]), setting: 0 };
    expect(lineOrigins([take('off', [60, 120, 180]), other])[0].atVolumeZero).toBe(false);
  });

  it('are placed by the speed that was noted, at idle or above it', () => {
    const [idle, fast] = [lines(13, 780), lines(13, 2940)];
    const of = (idleRpm: number | null, fastRpm: number | null) =>
      origins([take('idle', idle, idleRpm), take('fast', fast, fastRpm)]);
    expect([of(780, null), of(null, 2940), of(780, 2940)]).toEqual([
      ['alternator'],
      ['alternator'],
      ['alternator'],
    ]);
    const [sound, faster] = [lines(3, 780), lines(3, 2940)];
    expect(origins([take('idle', sound), take('fast', faster, 2940)])).toEqual(['engine sound']);
  });

  it('of an engine have their periods a revolution where its speed was noted.', () => {
    const [origin] = lineOrigins([take('off', []), take('idle', lines(36, 800), 800)]);
    expect(origin).toMatchObject({ origin: 'alternator', moves: null, atVolumeZero: false });
    expect(origin.combs[0].perRevolution).toBeCloseTo(36, 6);
    const [unnoted] = lineOrigins([take('off', []), take('idle', lines(36, 800))]);
    expect(unnoted.combs[0].perRevolution).toBeNull();
  });

  it('are nothing where there are none, and an engine’s lines are not looked for with the engine off.', () => {
    expect(lineOrigins([])).toEqual([]);
    expect(origins([take('off', []), take('idle', []), take('fast', [])])).toEqual([]);
    expect(origins([take('off', [60, 120, 180])])).toEqual(['mains']);
    expect(origins([take('off', [731])])).toEqual(['steady']);
  });
});
