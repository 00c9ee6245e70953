import type { nextTakeReasons } from '../../model/reason/next-take-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

export const nextTakeReasonWords: ReasonWords<keyof typeof nextTakeReasons> = {
  'measure across the pair or correct the pad': () =>
    'measure the calibration tone across both wires of the pair, or correct the pad',
  'record these settings': ({ settings }) =>
    `record ${settings.length === 1 ? 'setting' : 'settings'} ${settings.join(', ')}`,
  'record a setting again with less noise': ({ setting }) =>
    `record setting ${setting} again with less noise (a smaller pad, or more gain at the recorder)`,
  'record a setting above': ({ setting }) =>
    `record a setting above ${setting} if there is one, speakers unplugged or a load on`,
  'record the loop take': () =>
    'record the loop take: the player straight into the same pad, adapter and recorder',
  'record with a larger pad': () => 'record the clipping setting again with a larger pad, as its own session',
  'record a setting to prove it': ({ setting }) => `record setting ${setting}`,
  'no volts until settled': () => 'Steptone gives no volts until you settle this',
  'recorded one after the other': ({ feedId, dipDb }) =>
    `recorded one after the other, the outputs of ${feedId} may add in full or cancel by ${dipDb.toFixed(0)} dB`,
  'noise hides clipping above': ({ setting }) => `above setting ${setting} noise hides whether it clips`,
  'nothing clipped up to': ({ setting }) =>
    `nothing clipped up to ${setting}: nobody knows yet how much further it goes`,
  'most boosted is louder than any tone': ({ setting }) =>
    `at setting ${setting} the most boosted frequency is louder than any test tone`,
  'bass falls somewhere between': ({ lastIntact, firstChanged }) =>
    `the bass begins to fall somewhere between settings ${lastIntact} and ${firstChanged}`,
  'recorder may lose the lowest bass': () =>
    'the lowest bass falls alike at every output and setting: the recorder’s own input may lose it',
  'recorder’s input may clip': () =>
    'every output clips just below the recorder’s full scale: it may be the recorder’s own input',
  'clean by the volume law': ({ setting }) => `by the volume law setting ${setting} should still be clean`,
  'before planning again': () =>
    'do this before you use the plan again: same source, tone and fade at centre',
};
