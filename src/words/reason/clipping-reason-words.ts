import type { clippingReasons } from '../../model/reason/clipping-reasons.ts';
import type { Reason } from '../../model/reason.ts';
import type { ReasonWords } from './reason-words.ts';

export const clippingReasonWords: ReasonWords<keyof typeof clippingReasons> = {
  'recorder clipped at every step': () => 'the recorder clipped at every step of this tone',
  'other sounds cover the quiet steps': () => 'other sounds cover the quiet steps of this tone',
  'tone far down at this tap': () =>
    'this output hardly plays the tone (30 dB down or more), so its distortion means nothing',
  'tone cancelled at this tap': () => 'the tone plays on left and right alike, and this output cancels it',
  'level held by clip or limiter': ({ driveDbFs }) =>
    `from ${driveDbFs.toFixed(1)} dBFS of drive on the level stops following; noise or filters hide whether it clips or a limiter holds it`,
  'none seen, noise would hide one': ({ driveDbFs }) =>
    `none seen up to ${driveDbFs.toFixed(1)} dBFS of drive; above it noise would hide one`,
  'none seen, recorder clipped above': ({ driveDbFs }) =>
    `none seen up to ${driveDbFs.toFixed(1)} dBFS of drive; above it the recorder itself clipped`,
  'none seen': ({ driveDbFs }) => `none seen up to ${driveDbFs.toFixed(1)} dBFS of drive`,
  'boosted supply, or calibration too high': (volts) =>
    `${read(volts)}: does the radio boost its supply, or is the pad or the meter reading in the notes too high?`,
  'one leg noted, pair recorded': (volts) =>
    `${read(volts)}: the notes say one leg. Was it across the pair after all, or is the pad in the notes wrong?`,
  'one leg instead of the pair': (volts) => `${read(volts)}: was one leg measured instead of the pair?`,
  'limiter, or pad entered wrong': (volts) =>
    `${read(volts)}: does a limiter or the processor stop it, or is the pad in the notes wrong?`,
  'recording not calibrated': () => 'the recording has no calibration to volts',
  'quieter than the recorder': () =>
    'the radio is quieter than the recorder: this is the recorder’s own noise',
};

function read(
  volts: Pick<
    Extract<Reason, { code: 'one leg instead of the pair' }>,
    'clipVoltsPeak' | 'leastVolts' | 'mostVolts'
  >,
): string {
  const { clipVoltsPeak, leastVolts, mostVolts } = volts;
  return `the output clips at ${clipVoltsPeak.toFixed(1)} V peak, where the supply allows ${leastVolts.toFixed(1)} to ${mostVolts.toFixed(1)} V`;
}
