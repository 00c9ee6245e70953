import type { sessionReasons } from '../../model/reason/session-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

/** More of a list only hides its beginning (chosen here). */
const MOST_LISTED = 6;

export const sessionReasonWords: ReasonWords<keyof typeof sessionReasons> = {
  'settings by the names of files': ({ missing }) =>
    `the numbers in the file names were taken as settings; no file is named for ${firstOf(missing)}`,
  'more settings in the names of files': ({ settings }) =>
    `the numbers in the file names were taken as settings, also ${firstOf(settings)}, which ${
      settings.length === 1 ? 'is' : 'are'
    } not among those listed`,
  'settings by the order of names': ({ first, last }) =>
    `the file names do not say the settings, so the files were taken in the order of their names: ${first.file} at ${first.setting} to ${last.file} at ${last.setting}`,
  'no file of this name': ({ pattern }) =>
    `no file is named like ${pattern}, so what it stands for is missing`,
  'reference not in every file': ({ tapId, files }) =>
    `the reference tap ${tapId} is not in ${files.join(', ')}: arrival times there do not compare with the others`,
  'controls at centre': () => 'tone, fade and balance were at centre',
  'controls off centre': ({ controls }) =>
    `recorded with ${controls
      .map(({ control, steps }) => `${control} ${steps > 0 ? '+' : ''}${steps}`)
      .join(', ')}: every response contains it`,
};

function firstOf(settings: readonly number[]): string {
  const first = settings.slice(0, MOST_LISTED).join(', ');
  return settings.length > MOST_LISTED ? `${first}, ... (${settings.length} in all)` : first;
}
