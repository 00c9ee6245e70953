import type { recordReasons } from '../../model/reason/record-reasons.ts';
import { listed } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

export const recordReasonWords: ReasonWords<keyof typeof recordReasons> = {
  'record with less noise': () => 'the take again with less noise',
  'record louder or with less noise': () => 'the same take with less noise or more level at the recorder',
  'record without other sounds': () => 'the take again without them',
  'record with the recorder turned down': () => 'the take again with the recorder turned down',
  'record with EQ and tone flat': () =>
    'the same outputs with the radio’s equaliser and tone controls flat, and more level at the recorder',
  'record a linking take': () =>
    'a linking take: both outputs, or each with the same third one, in one recording',
  'record a loop take': () => 'the loop take: the player straight into the same pad, adapter and recorder',
  'record without automatic gain': () =>
    'switch the recorder’s automatic gain off and record again; if it stays so, record a lower setting',
  'record at the output itself': () => 'record at the output itself',
  'record a calibration tone': () => 'a steady tone whose volts are read on a meter',
  'record settings': ({ settings }) => `setting${settings.length === 1 ? '' : 's'} ${listed(settings)}`,
};
