import { mean } from '../../dsp/statistics.ts';
import { gridFrequencyHz, nearestPoint } from '../../model/frequency-grid.ts';
import type { BassLevel } from './bass-levels.ts';

/** A level is a mean over a sixth of an octave, either side of which this looks: points of the grid. */
const STEP_POINTS = 8;
/** Mean of a parabola over a stretch, against its middle: a 24th of what it bends by over a stretch either way (closed form). */
const PART_OF_BEND = 1 / 24;

/**
 * What the mean over a sixth of an octave is off by where the change of the bass itself is bent, decibels: beside a peak that
 * comes and goes, or at the knee of a steep filter that climbs. Fixed EQ bends both alike and cancels.
 */
export function bendDb(of: { level: BassLevel; plateau: readonly BassLevel[]; frequencyHz: number }): number {
  const { level, plateau, frequencyHz } = of;
  const middle = nearestPoint(frequencyHz);
  const changeAt = (i: number) => {
    const at = Math.max(0, Math.min(gridFrequencyHz.length - 1, i));
    const reference = mean(plateau.map(({ levels }) => levels.profile.levelDb[at]));
    return level.levels.profile.levelDb[at] - reference;
  };
  return (
    PART_OF_BEND *
    Math.abs(changeAt(middle - STEP_POINTS) - 2 * changeAt(middle) + changeAt(middle + STEP_POINTS))
  );
}
