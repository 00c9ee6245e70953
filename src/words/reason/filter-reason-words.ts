import type { filterReasons } from '../../model/reason/filter-reasons.ts';
import { oneDecimal } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

const hz = (value: number) => `${Math.round(value)} Hz`;
const span = (leastDb: number, mostDb: number) => `${oneDecimal(leastDb)} to ${oneDecimal(mostDb)} dB`;

export const filterReasonWords: ReasonWords<keyof typeof filterReasons> = {
  'bass is the subwoofer’s': ({ cornerHz }) =>
    `bass below ${hz(cornerHz)} is the subwoofer’s; without it the mains play louder and cleaner`,
  'above it the subwoofer is heard from behind': ({ cornerHz }) =>
    `above ${hz(cornerHz)} the subwoofer would be heard as coming from behind`,
  'meet at one corner, check at the seat': () =>
    'subwoofer and mains meet at one corner; check the polarity at the seat',
  'the radio filters there already': ({ cornerHz, slopeDbPerOctave }) =>
    `the radio filters there already, at ${hz(cornerHz)}${slopeDbPerOctave === null ? '' : ` with ${slopeDbPerOctave.toFixed(0)} dB an octave`}`,
  'a second filter costs': ({ atHz, aloneDb, withSecondDb, secondHz, secondSlopeDbPerOctave }) =>
    `at ${hz(atHz)} the radio alone leaves ${aloneDb.toFixed(1)} dB; a second filter at ${hz(secondHz)} (Butterworth, ${secondSlopeDbPerOctave.toFixed(0)} dB an octave) would leave ${withSecondDb.toFixed(1)} dB`,
  'cones run out of travel': ({ belowHz }) =>
    `below ${hz(belowHz)} the cones run out of travel before the amplifier runs out of power`,
  'cones play, not at full output': ({ fromHz, toHz }) =>
    `between ${Math.round(fromHz)} and ${hz(toHz)} they play, but not at full output: turn down at the first distress`,
  'hand-over adds': (sum) =>
    `around ${hz(sum.atHz)} the two add to ${span(sum.asWiredLeastDb, sum.asWiredMostDb)} as wired, ${span(sum.invertedLeastDb, sum.invertedMostDb)} inverted`,
  'start with the subwoofer': ({ polarity }) =>
    `start with the subwoofer ${polarity}, try both, keep the fuller`,
  'the seat decides the polarity': () =>
    'neither polarity is clearly fuller: start as wired, try both, keep the fuller',
  'radio’s own turn not known': () =>
    'the polarity of the radio’s subwoofer and mains outputs against each other is not known: nobody recorded them together',
  'part has no such filter': ({ name, type }) => `${name} has no ${type} in your notes`,
  'part reaches': ({ name, fromHz, toHz }) => `${name} reaches ${fromHz} to ${toHz} Hz`,
  'radio EQ undone': ({ mostBoostDb }) =>
    `this is the radio’s fixed EQ the other way round; dips are filled by ${mostBoostDb.toFixed(0)} dB at most`,
  'boost costs headroom': ({ db }) => `the boost takes ${db.toFixed(1)} dB of headroom: the gains give it up`,
};
