import type { nextTakeReasons } from '../../model/reason/next-take-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

export const nextTakeReasonWords: ReasonWords<keyof typeof nextTakeReasons> = {
  'measure across the pair or correct the pad': () =>
    'measure the calibration tone across both wires of the pair, or correct the pad',
  'record these settings': ({ settings }) => `record setting ${settings.join(', ')}`,
  'record a setting again with less noise': ({ setting }) =>
    `record setting ${setting} again with less noise (a smaller pad, or more gain at the recorder)`,
  'record a setting above': ({ setting }) =>
    `record a setting above ${setting}, if the radio has one (speakers unplugged or a load connected)`,
  'record the loop take': () =>
    'record the loop take, the player straight into the same pad, adapter and recorder',
  'record with a larger pad': () =>
    'record the setting that clips once more with a larger pad, as a session of its own',
  'record a setting to prove it': ({ setting }) => `record setting ${setting} to prove it`,
  'no volts until settled': () => 'no volts are given until this is settled',
  'recorded one after the other': ({ feedId, dipDb }) =>
    `recorded one after the other, the taps of ${feedId} may add in full or cancel by ${dipDb.toFixed(0)} dB`,
  'noise hides clipping above': ({ setting }) => `above setting ${setting} noise hides whether it clips`,
  'nothing clipped up to': ({ setting }) =>
    `nothing clipped up to setting ${setting}: how much further it goes is not known`,
  'most boosted is louder than any tone': ({ setting }) =>
    `at setting ${setting} the tap’s most boosted frequency is louder than any tone that was played`,
  'bass falls somewhere between': ({ lastIntact, firstChanged }) =>
    `the bass begins to fall somewhere between settings ${lastIntact} and ${firstChanged}`,
  'recorder may lose the lowest bass': () =>
    'the lowest bass falls alike at every tap and setting: the recorder’s own input may lose it',
  'recorder’s input may clip': () =>
    'it clips just below the recorder’s full scale at every tap: the recorder’s own input may do it',
  'clean by the volume law': ({ setting }) => `by the volume law setting ${setting} should still be clean`,
  'before planning again': () =>
    'before this plan is used again: same source, tone controls and fade in the middle',
};
