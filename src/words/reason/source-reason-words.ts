import type { sourceReasons } from '../../model/reason/source-reasons.ts';
import { hertz, ofSettings, oneDecimal } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

export const sourceReasonWords: ReasonWords<keyof typeof sourceReasons> = {
  'no take beside it': ({ settings }) =>
    settings.length === 0
      ? 'no take of it could be used'
      : `there is no good take of the usual source at ${ofSettings(settings)} to compare with`,
  'source moves its level': () => 'it moves its level by itself',
  'other source compared': ({ source, than, levelDb, ceilingHz, movesDb }) =>
    [
      `from ${source} it plays ${loudness(levelDb, than)}`,
      ...(ceilingHz === null ? [] : [`its treble ends at ${hertz(ceilingHz)}, so it is lossy`]),
      ...(movesDb === null ? [] : [`its level moves by ${oneDecimal(movesDb)} dB by itself`]),
    ].join('; '),
};

/** Differences below a tenth of a decibel are none. */
const ALIKE_DB = 0.1;

function loudness(levelDb: number | null, than: string): string {
  if (levelDb === null) return `at a level that does not compare with ${than}`;
  if (Math.abs(levelDb) < ALIKE_DB) return `as loud as from ${than}`;
  return `${oneDecimal(Math.abs(levelDb))} dB ${levelDb > 0 ? 'louder' : 'quieter'} than from ${than}`;
}
