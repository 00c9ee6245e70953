import { expect, test } from 'vitest';
import { ladderSpreadDb } from '../../../src/measure/take-facts.ts';
import type { LadderMeasurement } from '../../../src/model/measurement.ts';

/** A ladder at 997 Hz whose harmonics a tap's filters hide, or show; `gainDb` is that of a step's drive. */
function ladder(
  gainDb: (driveDbFs: number) => number,
  { harmonicsShow }: { harmonicsShow: boolean },
): LadderMeasurement {
  return {
    toneHz: 997,
    highestHarmonic: 10,
    steps: Array.from({ length: 21 }, (_, i) => -40 + 2 * i).map((driveDbFs) => ({
      driveDbFs,
      levelDbFs: driveDbFs - 20 + gainDb(driveDbFs),
      levelSigmaDb: 0.02,
      harmonics: [],
      thd: 0.001,
      thdBeforeFilters: harmonicsShow ? 0.001 : null,
      thdNoise: 0.001,
      peakDbFs: driveDbFs - 17,
    })),
  };
}

test('a clip whose harmonics the filters hide is no gain that follows the level', () => {
  // A sine clipped 6 dB over its limit loses 4.3 dB: (2 / pi) (asin(1/2) + sqrt(3)/4) = 0.609 (closed form).
  const clipped = (driveDbFs: number) => (driveDbFs <= -6 ? 0 : ((driveDbFs + 6) / 6) * -4.3);
  expect(ladderSpreadDb([ladder(clipped, { harmonicsShow: false })])).toBe(0);
  expect(ladderSpreadDb([ladder(clipped, { harmonicsShow: true })])).toBeCloseTo(4.3, 6);
});

test('quiet steps that an automatic gain raises show it behind any filter', () => {
  const raised = (driveDbFs: number) => Math.min(20, -driveDbFs);
  for (const harmonicsShow of [false, true])
    expect(ladderSpreadDb([ladder(raised, { harmonicsShow })])).toBeGreaterThan(7);
});
