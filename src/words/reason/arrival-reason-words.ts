import type { arrivalReasons } from '../../model/reason/arrival-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

export const arrivalReasonWords: ReasonWords<keyof typeof arrivalReasons> = {
  'no common time zero': () => 'no recording holds both outputs, so their times do not compare',
  'filters disagree on the sign': ({ tapId }) =>
    `${tapId}: two filters fit equally well, one with each polarity`,
  'half a period fits with the other sign': ({ tapId }) =>
    `${tapId}: half a period more or less of delay fits as well, with the other polarity`,
  'phase follows no filter and delay': ({ tapId }) =>
    `${tapId}: no filter and delay explain its phase (an all-pass, or two paths added)`,
  'filters leave the arrival uncertain': ({ plusMinusSeconds }) =>
    `the filters leave the arrival uncertain by ${(1000 * plusMinusSeconds).toFixed(1)} ms`,
  'filters and their delay not told apart': () =>
    'a filter and the EQ around it look alike here, and so do their delays',
};
