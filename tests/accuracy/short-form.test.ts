import { describe, expect, test } from 'vitest';
import { judgeSystem } from './judge/judge-system.ts';
import { runSystem } from './run-system.ts';
import { summarise } from './summarise.ts';

/** One with nothing to find; one with EQ, a late tap, a subwoofer and a limiter that its tap shows as well as the fronts. */
const SEEDS = [12, 34];

/** The goals of the study for recordings at 50 dB or better, as the worst of a few systems. */
const MOST_WORST: Readonly<Record<string, number>> = {
  'bass change': 0.15,
  delay: 3,
  'drive at 1 %': 0.15,
  'volts of the middle': 0.05,
};

describe('the accuracy study in short', () => {
  test('random radios are measured within the goals, with nothing claimed that is not there and nothing missed', () => {
    const outcomes = SEEDS.map((seed) => judgeSystem(runSystem(seed, { keepInMemory: true })));
    const { readings, claims, failures } = summarise(outcomes, { atGoal: true });
    expect(failures).toEqual([]);
    for (const { what, worst } of readings)
      expect({ what, worst }).toEqual({ what, worst: Math.min(worst, MOST_WORST[what] ?? worst) });
    for (const { what, falseClaims, misses } of claims)
      expect({ what, falseClaims, misses }).toEqual({ what, falseClaims: 0, misses: 0 });
    expect(readings.find(({ what }) => what === 'bass change')!.count).toBeGreaterThan(30);
  });
});
