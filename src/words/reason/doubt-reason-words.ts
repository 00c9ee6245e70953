import type { doubtReasons } from '../../model/reason/doubt-reasons.ts';
import { hertz, listed, ofSettings } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

export const doubtReasonWords: ReasonWords<keyof typeof doubtReasons> = {
  'settings exchanged': ({ settings }) => `the takes of settings ${listed(settings)} look exchanged`,
  'level fits no neighbour': ({ settings }) =>
    `the level at ${ofSettings(settings)} does not fit between the settings beside it`,
  'outputs exchanged': ({ tapIds, settings }) =>
    `the leads of ${listed(tapIds)} look exchanged at ${ofSettings(settings)}`,
  'samples lost': ({ file, atSeconds }) => `${file} lost samples at ${atSeconds.toFixed(1)} s`,
  'take cut off': ({ file, atSeconds }) => `${file} is cut off at ${atSeconds.toFixed(1)} s`,
  'full-scale samples in a sweep': ({ file, settings }) =>
    `${file} hits the recorder’s full scale inside a sweep at ${ofSettings(settings)}`,
  'knock in a sweep': ({ file, atSeconds }) =>
    `a knock, or a glitch of a lossy codec, hits a sweep at ${atSeconds.toFixed(1)} s of ${file}`,
  'same recording twice': ({ files }) => `${listed(files)} are the same recording`,
  'another band than at other settings': ({ settings }) =>
    `at ${ofSettings(settings)} the band is not that of the other settings: was the lead on another output?`,
  'opposite polarity to other settings': ({ settings }) =>
    `at ${ofSettings(settings)} the polarity is not that of the other settings: did somebody swap the leads?`,
  'arrival differs between settings': ({ settings, microseconds }) =>
    settings.length === 0
      ? `from take to take the arrival differs by up to ${microseconds.toFixed(0)} microseconds: did one channel lose samples?`
      : `at ${ofSettings(settings)} the arrival differs from the other takes by ${microseconds.toFixed(0)} microseconds: did one channel lose samples?`,
  'level off the line of its neighbours': ({ settings, offDb }) =>
    `at ${ofSettings(settings)} every output is ${Math.abs(offDb).toFixed(1)} dB ${offDb > 0 ? 'louder' : 'quieter'} than the settings around it suggest: did the volume follow speed or engine, or did somebody turn the recorder’s gain?`,
  'tone differs from its neighbours': ({ settings, atHz, offDb, fromThereUp }) =>
    `${ofSettings(settings)}: ${Math.abs(offDb).toFixed(1)} dB ${offDb > 0 ? 'more' : 'less'} at ${hertz(atHz)} than at the settings beside it. Did somebody move the tone controls for that take${fromThereUp ? ', or from there up' : ''}?`,
  'level jumps on all taps': ({ below, above, jumpDb }) =>
    `between settings ${below} and ${above} every output rises ${Math.abs(jumpDb).toFixed(1)} dB ${jumpDb > 0 ? 'more' : 'less'} than between the others: did the volume follow speed or engine, or did somebody turn the recorder’s gain?`,
  'gain follows the level by itself': () =>
    'the gain follows the level even at the lowest setting: the recorder’s automatic gain, or a limiter in the radio on everything',
  'heard by a microphone': () =>
    'heard by a microphone in the car, with speakers and cabin in it: only what changes between settings is the radio’s',
  'recorder may be what clips': () =>
    'every clip lies just below the recorder’s full scale: its own input may be what clips',
  'radio or recorder loses the low end': () =>
    'the lowest bass falls alike everywhere, as behind a coupling capacitor or transformer at the recorder',
  'listed and not read': ({ settings }) =>
    `${ofSettings(settings)} ${settings.length === 1 ? 'is' : 'are'} listed, and no take was read`,
};
