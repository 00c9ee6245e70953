import type { bassReasons } from '../../model/reason/bass-reasons.ts';
import { counted } from '../figures.ts';
import { listOf } from './list-words.ts';
import type { ReasonWords } from './reason-words.ts';

export const bassReasonWords: ReasonWords<keyof typeof bassReasons> = {
  'sweep spoilt and none at a lower drive': () =>
    'the sweep was limited, clipped or its gain changed, and the track has no second one at a lower drive',
  'clips at the low-drive sweep': () => 'the output clips even at the low-drive sweep',
  'gain changed during the take': () =>
    'the gain changed by itself during the take (automatic gain of the recorder, or a limiter over the whole band)',
  'no setting usable': () => 'no setting can be used',
  'no bass to judge': () => 'there is no bass to judge',
  'no middle at this setting': () => 'the tap has no mid band there, which it has at other settings',
  'no full-range tap beside it': () =>
    'this tap has no middle of its own and no full-range tap is in the same file: its volume law and its bass loss cannot be told apart',
  'too few settings for a plateau': ({ count }) =>
    `only ${counted(count, 'setting')} can be used, and it takes three that agree within 0.5 dB`,
  'no three settings agree': () =>
    'no three neighbouring settings agree within 0.5 dB, so there is no reference for a loss',
  'two ranges hold at different bass': () =>
    'two ranges of settings hold steady at different bass: lifted at the low ones or cut at the high ones cannot be told',
  'one drive only': () =>
    'bass is lost at the main sweep’s drive, but nothing at a lower drive shows whether a limiter or the volume takes it',
  'all bass falls alike': ({ referenceTapId }) =>
    `all of this tap’s bass falls alike against ${referenceTapId}: its own volume law or a cut above its band cannot be told`,
  'bass stands against the rest': ({ setting }) =>
    `bass at setting ${setting} stands against the rest in a way that no loss and no loudness contour explains`,
  'bass lower at one setting only': ({ setting }) =>
    `bass is lower at setting ${setting} but not at all settings above it`,
  'one take alone shows the cut': ({ settings, lossDb }) =>
    `the take at ${listOf(settings)} alone shows the cut, ${lossDb.toFixed(0)} dB at once: does the radio cut there, or did somebody move the tone controls for that take?`,
  'bass in the noise': ({ setting }) =>
    `at setting ${setting} the bass does not stand clear of the noise: a loss there cannot be told`,
  'noise hides a change of 2 dB': () => 'the recordings are too noisy: a change of 2 dB could hide in them',
  'bass not clear of the noise': () => 'bass here is not far enough above the noise',
  'plateau not clear of the noise': () =>
    'at the settings that it is held against, bass here is not far enough above the noise',
  'steady only so far': ({ upToSetting, openSettings }) =>
    `it stays up to setting ${upToSetting}; ${openSettings.length === 1 ? 'setting' : 'settings'} ${listOf(openSettings)} above ${openSettings.length === 1 ? 'is' : 'are'} not settled`,
  'bass follows the drive': () => 'the bass follows the drive up to the highest that shows it',
  'shelf and high-pass both fit': () =>
    'a shelf of growing depth and a high-pass whose corner climbs both fit the data',
  'shelf fits alone': () =>
    'no high-pass fits as well with its lowest corner where the settings that agree leave it',
  'high-pass fits alone': () => 'no shelf fits as well as a high-pass whose corner climbs',
};
