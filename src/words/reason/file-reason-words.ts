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
    `behind the sound are bytes for ${seconds.toFixed(1)} s more, which the header does not count: left out`,
  'last frame cut off': () => 'the last sample frame is cut off and left out',
  'cannot be used': ({ message }) => `left out: ${message}`,
  'photo too large': ({ mostMegabytes }) => `over ${mostMegabytes} MB`,
  'no photo': () => 'no JPEG or PNG by its bytes',
  'no second without a knock': () => 'left out: no second of it is free of knocks',
  'no whole track': () => 'left out: no whole track in it',
  'another such take is used': ({ kind }) => `left out: another ${kind} take is used`,
  'seat takes missing': ({ kinds }) =>
    `nothing is told of the seat: ${kinds.join(' and ')} ${kinds.length === 1 ? 'is' : 'are'} missing`,
  'track broken off': ({ fromSeconds, toSeconds }) =>
    `a track that begins at ${fromSeconds.toFixed(1)} s is broken off at ${toSeconds.toFixed(1)} s: it is not used`,
  'track begun anew': ({ atSeconds }) =>
    `a track that begins at ${atSeconds.toFixed(1)} s is broken off and begun anew at the same level: it is not used`,
  'no track in the loop take': () =>
    'no test track was found in this loop take: the recorder is not divided out',
  'takes of one setting differ': ({ setting, takes, spreadDb }) =>
    `of setting ${setting} there are ${counted(takes, 'take')}, and their levels differ by ${spreadDb.toFixed(1)} dB`,
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
    'the level changed by itself within a take, so that levels do not tell the settings',
  'no level is that of a setting': () =>
    'no level is that of any setting as other recordings of this tap have it',
  'two levels for one setting': () => 'two different levels come nearest to one setting',
  'too few levels': ({ levels, settings }) =>
    `${counted(levels, 'level')} for ${counted(settings, 'setting')} say too little`,
  'too many pairings': ({ levels, settings }) =>
    `${counted(levels, 'level')} for ${counted(settings, 'setting')} can be paired in too many ways`,
  'no even volume law': () =>
    'the levels follow no even volume law, so that they do not tell which setting is which',
  'levels fit two readings': ({ one, other }) => `the levels fit ${spelled(one)} and ${spelled(other)} alike`,
};

function spelled(reading: readonly (number | null)[]): string {
  return reading.map((setting) => setting ?? 'none').join(', ');
}
