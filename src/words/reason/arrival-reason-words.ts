import type { arrivalReasons } from '../../model/reason/arrival-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

export const arrivalReasonWords: ReasonWords<keyof typeof arrivalReasons> = {
  'no common time zero': () => 'no take has both taps on one time zero',
  'filters disagree on the sign': ({ tapId }) =>
    `${tapId}: filters that fit equally well disagree on the sign`,
  'half a period fits with the other sign': ({ tapId }) =>
    `${tapId}: half a period more or less of delay fits equally well with the opposite sign`,
  'phase follows no filter and delay': ({ tapId }) =>
    `${tapId}: the phase does not follow a filter and a delay (an all-pass, or two paths summed)`,
  'filters leave the arrival uncertain': ({ plusMinusSeconds }) =>
    `the filters leave the arrival uncertain by ${(1000 * plusMinusSeconds).toFixed(1)} ms`,
  'filters and their delay not told apart': () =>
    'a filter and EQ around it cannot be told apart, nor what they delay',
};
