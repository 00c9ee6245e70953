import type { checkReasons } from '../../model/reason/check-reasons.ts';
import { listed } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

export const checkReasonWords: ReasonWords<keyof typeof checkReasons> = {
  'no usable take': () => 'no usable take',
  'take not read': ({ files }) => `${listed(files)} could not be read: record it again`,
  'too few settings': ({ count }) =>
    `${count === 1 ? 'one setting says' : 'two settings say'} nothing about bass against volume: record low, middle and high at least`,
  'bass cannot be judged yet': () => 'the bass cannot be judged yet',
  'bass needs a full-range output beside it': () =>
    'together with a full-range output on another channel, at low, middle and high: alone, a bass cut looks like its own volume law',
  'limiter or volume not known without the full track': () =>
    'with the full track: the response-only track shows neither clipping nor noise, nor whether a limiter or the volume takes the bass',
  'clipping and noise not known without the full track': () =>
    'with the full track: the response-only track shows no clipping, limiter or noise',
  'bass differs from another output': ({ tapIds, differsDb }) =>
    `its bass differs from ${tapIds.join(', ')} by ${differsDb.toFixed(1)} dB`,
  'arrivals do not compare': ({ tapIds, withTapIds }) =>
    `arrival times of ${tapIds.join(', ')} do not compare with ${withTapIds.join(', ')}: make one linking take with one of each on the two channels`,
  'bass begins to fall between': ({ lastIntact, firstChanged }) =>
    `the bass begins to fall somewhere between ${lastIntact} and ${firstChanged}`,
  'clipping begins between': ({ clean, clips }) =>
    `the output begins to clip somewhere between ${clean} and ${clips}`,
  'recorder may lose bass': () =>
    'the lowest bass falls alike at every output and setting, and the recorder’s own input may do it: make a loop take, the player straight into the same pad, adapter and recorder',
  'recorder may clip': () =>
    'every clip lies just below the recorder’s full scale, and its own input may do it: record the setting that clips again with a larger pad, as a session of its own',
  'volts withheld until settled': () => 'Steptone gives no volts until the notes settle this',

  'full range': () => 'full range',
  'band not known': () => 'band not known',
  'band-limited': ({ fromHz, toHz }) => {
    if (fromHz !== null && toHz !== null) return `band-limited, ${fromHz} to ${toHz} Hz`;
    if (fromHz !== null) return `band-limited, from ${fromHz} Hz up`;
    return toHz !== null ? `band-limited, up to ${toHz} Hz` : 'band-limited';
  },
  'does not follow the volume': () => 'does not follow the volume',
  'bass lifted up to': ({ setting }) => `bass lifted up to setting ${setting}`,
  'bass steady': () => 'bass steady',
  'bass steady up to': ({ setting, notRead }) => `bass steady up to ${setting}; ${notReadText(notRead)}`,
  'bass falls': ({ lastIntact, firstChanged, most }) =>
    `the radio starts cutting bass between ${lastIntact} and ${firstChanged}${most === null ? '' : `: at ${most.setting} it takes ${most.db.toFixed(1)} dB at ${most.atHz} Hz`}`,
  'bass not known yet': () => 'bass against volume not known yet',
  'bass alike': ({ low, high }) => `bass alike at ${low} and ${high}`,
  'bass differs': ({ atHz, changeDb, low, high, notKnown }) =>
    `bass at ${atHz} Hz ${Math.abs(changeDb).toFixed(1)} dB ${changeDb < 0 ? 'lower' : 'higher'} at ${high} than at ${low} (${notKnown} is not known yet)`,
  'limiter holds bass': () => 'a limiter holds loud bass',
  'clipping not recorded': () => 'clipping not recorded',
  'clips between': ({ clean, clips, mayBeRecorder }) =>
    `clips between ${clean} and ${clips}${whose(mayBeRecorder)}`,
  'clips at the lowest': ({ setting, mayBeRecorder }) =>
    `clips at ${setting} already, the lowest recorded${whose(mayBeRecorder)}`,
  'clipping not known': () => 'clipping not known',
  'clean up to': ({ setting, isHighest, notRead }) => {
    if (notRead.length > 0) return `clean up to ${setting}; ${notReadText(notRead)}`;
    return `clean up to ${setting}, ${isHighest ? 'the highest recorded' : 'not known above it'}`;
  },
  'inverted against': ({ tapId }) => `inverted against ${tapId}`,
  'later than': ({ tapId, seconds }) =>
    `${(1000 * Math.abs(seconds)).toFixed(2)} ms ${seconds > 0 ? 'later' : 'earlier'} than ${tapId}`,
  'heard in the air alone': () =>
    'heard by a microphone: no volts, band limits, clipping, polarity or timing',
  'nothing carried': () => 'carries nothing clear of the noise',
  'nothing settled': () => 'nothing certain: every take of it is in doubt',

  'one side louder': ({ quietTapId, db, control }) =>
    `${db.toFixed(1)} dB louder than ${quietTapId} at every setting: ${control === 'balance' ? 'is balance at centre, and is the load the same on both?' : 'is fade at centre, or is the radio made that way?'}`,
  'balance off centre': ({ quietTapId, db }) =>
    `${db.toFixed(1)} dB louder than ${quietTapId} at every setting: put balance at centre and record again, or note that it was`,
  'tone off centre': ({ end, db, lift }) =>
    `every full-range output has its ${end} ${lift ? 'lifted' : 'cut'} by ${db.toFixed(1)} dB or more: is tone at centre, or is the radio made that way?`,
  'tones follow the engine': ({ lines, atVolumeZero }) =>
    `tones that follow the engine (${engineLines(lines)})${atVolumeZero ? ' at volume zero' : ''}: cabin noise cancelling or engine sound from the speakers. Settle it by the maker’s information before you add a subwoofer`,
  'alternator whine': ({ lines }) => `alternator whine (${engineLines(lines)})`,
  'hum common to all outputs': ({ mainsHz }) =>
    `${mainsHz} Hz hum, alike on all: it comes from the recorder, a charger or a ground, not from the radio. Run recorder and computer on their batteries, take the bench charger off, and record once with the inputs shorted`,
  'muted in silence': () => 'mutes in silence; noise is read under the quiet tone',
  'one channel at a time': () =>
    'one channel at a time: times and polarity do not compare, so sums get a best and a worst case. To know, record two outputs together',
  'no calibration': () =>
    'no calibration, so no volts: note the pad and the recorder’s full-scale volts, or record a steady tone and read it on a meter',
};

function notReadText(settings: readonly number[]): string {
  return `${listed(settings)} ${settings.length === 1 ? 'was' : 'were'} not read`;
}

function whose(mayBeRecorder: boolean): string {
  return mayBeRecorder ? ' (the radio or the recorder’s own input)' : '';
}

function engineLines(lines: readonly { engine: string; fundamentalHz: number }[]): string {
  return lines
    .map(({ engine, fundamentalHz }) => `${fundamentalHz.toFixed(0)} Hz with the engine ${engine}`)
    .join(', ');
}
