import type { fileReasons } from '../../model/reason/file-reasons.ts';
import { counted } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

export const fileReasonWords: ReasonWords<keyof typeof fileReasons> = {
  'header without a length': ({ seconds }) =>
    `the header does not say how long the sound is: all ${seconds.toFixed(1)} s up to the end of the file are used`,
  'file ends before its header says': ({ statedSeconds, seconds }) =>
    `the header promises ${statedSeconds.toFixed(1)} s of sound, the file ends after ${seconds.toFixed(1)} s, which are used`,
  'longer than a header can say': ({ seconds }) =>
    `the file is longer than its kind of header can say: all ${seconds.toFixed(1)} s are used`,
  'bytes behind the sound': ({ seconds }) =>
    `after the sound come ${seconds.toFixed(1)} s that the header does not count: left out`,
  'last frame cut off': () => 'the last sample frame is cut off and left out',
  'cannot be used': ({ message }) => `left out: ${message}`,
  'photo too large': ({ mostMegabytes }) => `over ${mostMegabytes} MB`,
  'no photo': () => 'its bytes are neither JPEG nor PNG',
  'no second without a knock': () => 'left out: no second of it is free of knocks',
  'no whole track': () => 'left out: no whole track in it',
  'another such take is used': ({ kind }) => `left out: another ${kind} take is used`,
  'seat takes missing': ({ kinds }) =>
    `the seat is not judged: ${kinds.join(' and ')} ${kinds.length === 1 ? 'is' : 'are'} missing`,
  'track broken off': ({ fromSeconds, toSeconds }) =>
    `a track begins at ${fromSeconds.toFixed(1)} s and is broken off at ${toSeconds.toFixed(1)} s: not used`,
  'track begun anew': ({ atSeconds }) =>
    `a track begins at ${atSeconds.toFixed(1)} s, breaks off and starts again at the same level: the first is not used`,
  'no track in the loop take': () =>
    'there is no test track in this loop take, so the recorder is not divided out',
  'takes of one setting differ': ({ setting, takes, spreadDb }) =>
    `there are ${counted(takes, 'take')} of setting ${setting}, and their levels differ by ${spreadDb.toFixed(1)} dB`,
  'two settings of one level': ({ settings }) =>
    `the takes listed as settings ${settings.join(' and ')} have the same level: if one repeats the other, list the settings in the order recorded`,
  'matched by level': ({ planned, countFits, takes }) => {
    const reason = countFits
      ? `the levels contradict the order ${planned.join(', ')}`
      : `${takes.length} takes were found for ${planned.length} settings`;
    const list = takes
      .map(({ setting, atSeconds }) => `${setting ?? 'none of them'} at ${atSeconds.toFixed(1)} s`)
      .join(', ');
    return `${reason}, so they were matched by level: ${list}; if that is wrong, list the settings of the takes in order`;
  },
  'level not steady within a take': () =>
    'the level changed by itself within a take, so the settings cannot be read from the levels',
  'no level is that of a setting': () => 'no level matches a setting of this output in other recordings',
  'two levels for one setting': () => 'two different levels come nearest to one setting',
  'too few levels': ({ levels, settings }) =>
    `${counted(levels, 'level')} for ${counted(settings, 'setting')} are too few to match`,
  'too many pairings': ({ levels, settings }) =>
    `${counted(levels, 'level')} for ${counted(settings, 'setting')} can be paired in too many ways`,
  'no even volume law': () =>
    'the levels follow no even volume law, so the settings cannot be read from them',
  'levels fit two readings': ({ one, other }) =>
    `the levels fit ${spelled(one)} as well as ${spelled(other)}`,
};

function spelled(reading: readonly (number | null)[]): string {
  return reading.map((setting) => setting ?? 'none').join(', ');
}
