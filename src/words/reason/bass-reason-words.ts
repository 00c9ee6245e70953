import type { bassReasons } from '../../model/reason/bass-reasons.ts';
import { counted, listed } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

export const bassReasonWords: ReasonWords<keyof typeof bassReasons> = {
  'sweep spoilt and none at a lower drive': () =>
    'the sweep was limited or clipped, or its gain changed, and this track has no quieter one',
  'clips at the low-drive sweep': () => 'the output clips even on the quiet sweep',
  'gain changed during the take': () =>
    'the gain changed by itself during the take: automatic gain of the recorder, a limiter on everything, or a lossy codec',
  'no setting usable': () => 'no setting can be used',
  'no bass to judge': () => 'there is no bass to judge',
  'no middle at this setting': () => 'this output lost its midrange there, and has it at other settings',
  'no full-range tap beside it': () =>
    'this output has no midrange, and no full-range output is in the same file: a bass cut looks like its own volume law',
  'too few settings for a plateau': ({ count }) =>
    `${count === 1 ? 'only 1 setting is' : `only ${counted(count, 'setting')} are`} usable; it takes three that agree within 0.5 dB`,
  'no three settings agree': () =>
    'no three neighbouring settings agree within 0.5 dB, so there is no reference for a loss',
  'two ranges hold at different bass': () =>
    'the bass holds steady at the low settings and, lower, at the high ones: a lift below looks like a cut above',
  'one drive only': () =>
    'loud bass is lost, and no quieter sweep shows whether a limiter or the volume takes it',
  'all bass falls alike': ({ referenceTapId }) =>
    `all the bass of this output falls alike against ${referenceTapId}: its own volume law would look the same`,
  'bass stands against the rest': ({ setting }) =>
    `neither a cut nor a loudness contour explains the bass at setting ${setting}`,
  'bass lower at one setting only': ({ setting }) =>
    `bass is lower at setting ${setting} but not at all settings above it`,
  'one take alone shows the cut': ({ settings, lossDb }) =>
    `only the take at ${listed(settings)} shows the cut, all at once: ${lossDb.toFixed(0)} dB. Does the radio cut there, or did somebody move the tone controls for that take?`,
  'bass in the noise': ({ setting }) => `at setting ${setting} the bass is lost in the noise`,
  'noise hides a change of 2 dB': () =>
    'the recordings are so noisy that a change of 2 dB could hide in them',
  'bass not clear of the noise': () => 'bass here is not far enough above the noise',
  'plateau not clear of the noise': () =>
    'at the settings to compare with, bass here is not far enough above the noise',
  'steady only so far': ({ upToSetting, openSettings }) =>
    `it stays up to setting ${upToSetting}; of ${openSettings.length === 1 ? 'setting' : 'settings'} ${listed(openSettings)} it is not known`,
  'bass follows the drive': () => 'the bass follows the drive up to the highest that shows it',
  'shelf and high-pass both fit': () =>
    'a shelf of growing depth and a high-pass whose corner climbs both fit the data',
  'shelf fits alone': () => 'no high-pass fits as well',
  'high-pass fits alone': () => 'no shelf fits as well as a high-pass whose corner climbs',
};
