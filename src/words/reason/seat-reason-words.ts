import type { seatReasons } from '../../model/reason/seat-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

const ms = (seconds: number) => `${(1000 * seconds).toFixed(1)} ms`;
const hz = (value: number) => `${Math.round(value)} Hz`;

export const seatReasonWords: ReasonWords<keyof typeof seatReasons> = {
  'rears fill in late': ({ bySeconds }) =>
    `the rears come ${ms(bySeconds)} late and fill in from there; the front waits for none`,
  'what is late stays': ({ lateFeed, bySeconds }) =>
    `${lateFeed} comes ${ms(bySeconds)} late and stays; whatever is earlier waits for it`,
  'distances are counted in': () => 'the distances to the seat are counted in, 34.3 cm a millisecond',
  'distances are not known': () =>
    'the distances to the seat are not noted: this makes the feeds agree at the outputs, not at the ear',
  'nothing here can delay': ({ name }) => `${name} cannot delay`,
  'delay ends before it is enough': ({ name, mostSeconds }) => `${name} delays by ${ms(mostSeconds)} at most`,
  'a part that delays would do it': ({ seconds }) =>
    `no part is given that delays: a processor with ${ms(seconds)} or more on each output would do it`,
  'not worth a part that delays': ({ seconds }) =>
    `${(1000 * seconds).toFixed(2)} ms are not worth a part that delays`,
  'use outputs that agree': ({ tapIds }) =>
    `feed it from outputs that agree in time: ${tapIds.join(' and ')}`,
  'first null of the delay': ({ hz: at }) =>
    `what both play cancels first at ${hz(at)}: keep crossovers away from it`,
  'a low-pass is late by itself': ({ cornerHz, seconds }) =>
    `a low-pass at ${hz(cornerHz)} is late by about ${ms(seconds)} itself: the takes at the seat decide`,
  'rears start lower and late': ({ levelDb, fromSeconds, toSeconds }) =>
    `rears that only fill in start ${Math.abs(levelDb).toFixed(0)} dB below the front and ${(1000 * fromSeconds).toFixed(0)} to ${(1000 * toSeconds).toFixed(0)} ms late`,
  'rears as a second front': () =>
    'nothing here can delay or band-limit the rears: keep them low, or leave them with the radio',
  'subwoofer is turned at the seat': () =>
    'the subwoofer starts at its computed gain and is turned at the seat',
  'centre carries its own sound': ({ tapId }) => `${tapId} carries what the radio makes for the centre`,
  'centre ends within the band': ({ fromHz, toHz }) =>
    `it plays ${fromHz === null ? 'everything' : `what lies above ${hz(fromHz)}`}${toHz === null ? '' : ` up to ${hz(toHz)}`} only: the rest of the middle stays in left and right`,
  'no centre output': () => 'no output of the radio carries a centre',
  'left plus right is no centre': () =>
    'left plus right through a centre speaker narrows the stage and doubles the middle, within its own band only: leave that channel unused',
  'fuller as it is': ({ polarity }) => `the crossover is fuller with the subwoofer ${polarity}`,
  'both polarities alike': () => 'both polarities sum alike',
  'set the level first': () =>
    'subwoofer and mains do not meet in level: set the level first, then repeat the takes',
  'takes leave it open': () => 'the takes do not show which',
  'a quarter turn apart': ({ lostDb, seconds }) =>
    `they are about a quarter turn apart, which costs ${lostDb.toFixed(1)} dB in the better polarity. Move the subwoofer’s low-pass a third of an octave, or delay the nearer one by ${ms(seconds)}. Repeat the takes and keep what is fuller`,
  'trim the subwoofer': ({ trimDb, cornerHz }) =>
    `turn the subwoofer ${trimDb > 0 ? 'up' : 'down'} by ${Math.abs(trimDb).toFixed(1)} dB: at the corner of ${hz(cornerHz)} it stands that far ${trimDb > 0 ? 'under' : 'over'} the mains`,
  'takes do not fit together': () =>
    'the four takes do not fit together: repeat them with levels and microphone untouched',
  'too unequal for a phase': () => 'subwoofer and mains are too unequal here: the phase hardly matters',
  'something changed between the takes': () =>
    'the three takes do not fit together: something changed between them',
  'repeat without moving anything': () => 'repeat the takes without moving anything',
};
