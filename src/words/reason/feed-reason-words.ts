import type { feedReasons } from '../../model/reason/feed-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

const and = (names: readonly string[]) => names.join(' and ');

export const feedReasonWords: ReasonWords<keyof typeof feedReasons> = {
  'the centre alone': ({ tapId }) =>
    `${tapId} carries the radio’s own centre sound: it feeds the centre alone`,
  'full range, used alone': ({ tapId }) => `${tapId} is full range: use it alone`,
  'the most even alone': ({ tapId }) => `${tapId} alone is the most even choice`,
  'the only output there': ({ tapId }) => `${tapId} is the only output for this feed`,
  'a further tap adds its own phase': () => 'a second output would only bring its own delay and phase',
  'the radio turns this tap': ({ tapId }) => `the radio inverts ${tapId} against the others`,
  'taps carry the band together': ({ tapIds }) => `${and(tapIds)} together carry the whole band`,
  'crossed, or they cancel': ({ tapIds }) => `swap ${and(tapIds)}, or they cancel where they meet`,
  'delayed to add': ({ tapId, delaySeconds }) =>
    `${tapId} delayed by ${Math.round(delaySeconds * 1e6)} microseconds`,
  'a dip remains': ({ dipDb }) => `a dip of ${Math.abs(dipDb).toFixed(1)} dB remains`,
  'own subwoofer output': ({ tapIds }) =>
    `${and(tapIds)} is the radio’s own subwoofer output, and a good one`,
  'subwoofer output is never clean': () => 'the radio’s subwoofer output clips at every setting',
  'subwoofer output keeps its level': () =>
    'the radio’s subwoofer output keeps its level, whatever the volume',
  'subwoofer output loses more bass': () => 'the radio’s subwoofer output loses more bass than these outputs',
  'no subwoofer output': () => 'the radio has no subwoofer output',
  'taps reach deepest': ({ tapIds }) =>
    `${and(tapIds)} ${tapIds.length === 1 ? 'reaches' : 'reach'} deepest; the subwoofer amplifier’s low-pass cuts the rest`,
  'front-to-rear fade is lost': () => 'you lose front-to-rear fade: one feed takes both places',
  'fed from another place': () =>
    'you lose front-to-rear fade: this feed plays what the radio sends to another place',
  'subwoofer fades with a place': ({ place }) =>
    `the subwoofer fades with the ${place} outputs: leave fade in the middle`,
  'the taps cancel': ({ dipDb }) => `the outputs cancel: a dip of ${Math.abs(dipDb).toFixed(1)} dB`,
  'part of the band is missing': () => 'part of the band is missing',
  'less even': ({ byDb }) => `less even by ${byDb.toFixed(1)} dB`,
  'sides would differ': () => 'left and right would not be fed alike',
  'more taps for nothing': () => 'it takes more outputs and gives nothing',
  'no better and more to set': () => 'no better, and more to set',
  'record taps together': ({ tapIds, setting }) =>
    `record ${and(tapIds)} together in one file, at setting ${setting}`,
  'subwoofer output keeps with the others': () => 'the subwoofer output follows the volume like the others',
  'subwoofer output falls behind': () =>
    'the subwoofer output falls behind as you turn up: set its level at the customer’s usual setting',
  'subwoofer output runs ahead': () =>
    'the subwoofer output rises faster than the others: set its level at the highest clean setting',
};
