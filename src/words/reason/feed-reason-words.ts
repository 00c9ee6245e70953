import type { feedReasons } from '../../model/reason/feed-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

const and = (names: readonly string[]) => names.join(' and ');

export const feedReasonWords: ReasonWords<keyof typeof feedReasons> = {
  'the centre alone': ({ tapId }) =>
    `${tapId} carries what the radio makes for the centre: it feeds the centre alone, nothing is added to it`,
  'full range, used alone': ({ tapId }) =>
    `${tapId} is full range: it is used as it is, nothing is added to it`,
  'the most even alone': ({ tapId }) => `${tapId} alone is the most even that there is`,
  'the only output there': ({ tapId }) => `${tapId} is the only output for this feed`,
  'a further tap adds its own phase': () => 'a second tap would only bring its own phase into the sound',
  'the radio turns this tap': ({ tapId }) => `the radio turns ${tapId} against the other taps`,
  'taps carry the band together': ({ tapIds }) => `${and(tapIds)} together carry the whole band`,
  'crossed, or they cancel': ({ tapIds }) => `${and(tapIds)} inverted, or they cancel where they meet`,
  'delayed to add': ({ tapId, delaySeconds }) =>
    `${tapId} delayed by ${Math.round(delaySeconds * 1e6)} microseconds`,
  'a dip remains': ({ dipDb }) => `a dip of ${Math.abs(dipDb).toFixed(1)} dB remains`,
  'own subwoofer output': ({ tapIds }) => `${and(tapIds)}: the radio's own subwoofer output, and it is good`,
  'subwoofer output loses more bass': () =>
    "the radio's subwoofer output loses more of the bass than the taps chosen here",
  'no subwoofer output': () => 'the radio has no subwoofer output',
  'taps reach deepest': ({ tapIds }) =>
    `${and(tapIds)} reach deepest; the subwoofer amplifier's low-pass takes the rest away`,
  'front-to-rear fade is lost': () => 'front-to-rear fade: both places are in one feed',
  'subwoofer fades with a place': ({ place }) =>
    `the subwoofer fades with the ${place} taps: leave the fade control in the middle`,
  'the taps cancel': ({ dipDb }) => `the taps cancel: a dip of ${Math.abs(dipDb).toFixed(1)} dB`,
  'part of the band is missing': () => 'part of the band is missing',
  'less even': ({ byDb }) => `less even by ${byDb.toFixed(1)} dB`,
  'more taps for nothing': () => 'more taps for nothing gained',
  'no better and more to set': () => 'no better, and more to set',
  'record taps together': ({ tapIds, setting }) =>
    `record ${and(tapIds)} together in one file, at setting ${setting}`,
  'subwoofer output keeps with the others': () => 'the subwoofer output goes up with the others',
  'subwoofer output falls behind': () =>
    'the subwoofer output falls behind as the volume goes up: set its level at the setting that is used most',
  'subwoofer output runs ahead': () =>
    'the subwoofer output goes up faster than the others: set its level at the highest clean setting',
};
