import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { BassNeed } from './bass-need.ts';

/** `fixed`: one boost for all settings, half way between the least and the most that is needed. */
export function boostLaw({
  needs,
  top,
  mostDb,
  fixed,
}: {
  readonly needs: readonly BassNeed[];
  readonly top: BassNeed;
  readonly mostDb: number;
  readonly fixed: boolean;
}): (setting: number) => Float64Array {
  if (fixed) {
    const half = top.neededDb.map((db) => Math.min(mostDb, db / 2));
    return () => half;
  }
  return (setting) => {
    const nearest = needs.findLast((need) => need.setting <= setting) ?? needs[0];
    return nearest.neededDb.map((db) => Math.min(mostDb, db));
  };
}

/** For a picture: 20 points a decade over the bass in which losses are worked out. */
const PREDICTED_STEP = 8;
const PREDICTED_FROM_HZ = 25;
const PREDICTED_TO_HZ = 300;

export function predictedBass(
  needs: readonly BassNeed[],
  boostDb: (setting: number) => Float64Array,
): AdviceOf<'restoration'>['predicted'] {
  const points = Array.from(gridFrequencyHz).flatMap((hz, i) =>
    i % PREDICTED_STEP === 0 && hz >= PREDICTED_FROM_HZ && hz <= PREDICTED_TO_HZ ? [i] : [],
  );
  return {
    frequencyHz: points.map((i) => gridFrequencyHz[i]),
    settings: needs.map(({ setting, neededDb }) => {
      const boost = boostDb(setting);
      return {
        setting,
        beforeDb: points.map((i) => 0 - neededDb[i]),
        afterDb: points.map((i) => boost[i] - neededDb[i]),
      };
    }),
  };
}
