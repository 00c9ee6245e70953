import { type FittedTap, fitTap, isFitted } from '../../../src/findings/band/fitted-tap.ts';
import { reasonText } from '../../../src/words/reason-text.ts';
import { type ExactTap, exactMeasurement, seeded } from '../exact-responses.ts';

/** Taps in one take a setting, each take with a time zero of its own. */
export function fitted(
  taps: Record<string, ExactTap>,
  of: { snrDb: number; seed: number; origin?: (tapId: string, setting: number) => string },
) {
  const random = seeded(of.seed);
  return Object.entries(taps).map(([tapId, left]): FittedTap => {
    const measurements = [14, 20, 26].map((setting) => {
      const start = 0.001 * (setting - 14);
      return exactMeasurement({
        tapId,
        setting,
        timeOrigin: of.origin?.(tapId, setting) ?? `take ${setting}`,
        left: { ...left, delaySeconds: (left.delaySeconds ?? 0) + start },
        snrDb: of.snrDb,
        random,
      });
    });
    const tap = fitTap({ tapId, carries: 'left', measurements, ceilingHz: null });
    if (!isFitted(tap)) throw new Error(reasonText(tap.reason));
    return tap;
  });
}
