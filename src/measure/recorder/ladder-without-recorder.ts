import { decibels } from '../../dsp/decibels.ts';
import type { LadderMeasurement, LadderStep } from '../../model/measurement.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import { magnitudeAt, magnitudeCurve } from '../../model/response.ts';

/** The recorder is divided out of responses no further than this (`recorder-response.ts`), nor out of a tone. */
const LEAST_GAIN = 0.1;

/**
 * A ladder as a recorder without a shape of its own would have it, so that its tones compare with responses that the loop
 * take was divided out of. Peaks stay as recorded: they say how near the recorder was to its own limit.
 *
 * @param recorder shape of the recorder from the loop take, level taken out
 */
export function ladderWithoutRecorder(
  ladder: LadderMeasurement,
  recorder: FrequencyResponse,
): LadderMeasurement {
  const curve = magnitudeCurve([recorder]);
  const gainAt = (hz: number) => Math.max(LEAST_GAIN, magnitudeAt(curve, hz) ?? 1);
  const toneGain = gainAt(ladder.toneHz);
  const harmonicGains = Array.from(
    { length: ladder.highestHarmonic - 1 },
    (_, j) => gainAt((j + 2) * ladder.toneHz) / toneGain,
  );
  // Noise counts alike at all harmonics.
  const noiseGain =
    harmonicGains.length === 0 ? 1 : Math.hypot(...harmonicGains) / Math.sqrt(harmonicGains.length);
  return {
    ...ladder,
    steps: ladder.steps.map((step): LadderStep => {
      const harmonics = step.harmonics.map((part, j) => part / harmonicGains[j]);
      return {
        ...step,
        levelDbFs: step.levelDbFs - decibels(toneGain),
        harmonics,
        thd: Math.hypot(...harmonics),
        thdNoise: step.thdNoise / noiseGain,
      };
    }),
  };
}
