import type { restorationReasons } from '../../model/reason/restoration-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

export const restorationReasonWords: ReasonWords<keyof typeof restorationReasons> = {
  'bass keeps with the rest': () => 'the bass of this feed keeps up with the rest at every setting',
  'loss too small to hear': () => 'the loss at the highest clean setting is too small to be heard',
  'no tap to hold the bass against': () =>
    'no output with midrange was recorded at these settings, so a bass cut looks like the volume',
  'radio takes bass away': () =>
    'the radio takes bass away as the volume goes up; it is put back on the subwoofer feed only',
  'factory speakers keep the cut': () => 'the factory speakers keep the cut: it protects their small cones',
  'mains keep the cut': () => 'the mains keep the cut: the subwoofer carries that band',
  'a fixed boost fits one setting': () =>
    'a fixed boost fits one setting: half is given, so that quiet and loud are equally far off',
  'set gains with restoration off': () => 'set every gain with restoration off: it reacts to test tones',
  'loss is at least this': ({ db, atHz, from, to }) =>
    `between settings ${from} and ${to} the bass falls by at least ${db.toFixed(1)} dB at ${atHz.toFixed(0)} Hz; no three settings hold steady, so it may be more`,
  'full only up to a setting': ({ setting, mostDb }) =>
    `up to setting ${setting} the radio cuts no more than ${mostDb.toFixed(0)} dB: the plan holds up to there`,
  'boost reaches down to': ({ mostDb, hz, setting }) =>
    `at setting ${setting}, ${mostDb.toFixed(0)} dB of boost keeps the bass full down to ${hz.toFixed(0)} Hz and no further`,
  'stay below or tap ahead': ({ setting }) =>
    `stay at setting ${setting} or below, or take a source ahead of the radio's processor`,
  'a limiter holds the bass': ({ tapId }) =>
    `the limiter on ${tapId} holds the bass: no boost brings back what it takes, only a lower setting does`,
  'no converter before the loss is known': () =>
    'order no converter without restoration before the loss is known',
};
