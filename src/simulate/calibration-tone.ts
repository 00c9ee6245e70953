import { ratioOf } from '../dsp/decibels.ts';
import type { Scenario } from './scenario.ts';
import { legShare } from './tap-levels.ts';
import { trueResponse } from './true-response.ts';

/** The meter tone that the person plays to calibrate by meter. */
export const CALIBRATION_TONE = { frequencyHz: 100, driveDbFs: -10 };

/** What an exact meter reads where the recorder is connected: first tap, first setting. */
export function calibrationVoltsRms(scenario: Scenario): number {
  const tap = scenario.taps[0];
  const response = trueResponse(scenario, {
    tapId: tap.id,
    setting: scenario.settings[0],
    programme: 'both',
  });
  const { real, imag } = response(CALIBRATION_TONE.frequencyHz);
  return Math.hypot(real, imag) * ratioOf(CALIBRATION_TONE.driveDbFs) * legShare(tap);
}
