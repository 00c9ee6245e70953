import type { groundReasons } from '../../model/reason/ground-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

const SPEED = { off: 'with the engine off', idle: 'at idle', fast: 'at the higher speed' } as const;
const saidPlaces = (places: readonly { engine: keyof typeof SPEED; hz: number }[]) =>
  places.map(({ engine, hz }) => `${Math.round(hz)} Hz ${SPEED[engine]}`).join(', ');

export const groundReasonWords: ReasonWords<keyof typeof groundReasons> = {
  'an even floor': () => 'even noise without tones: the gains decide how much of it you hear',
  'lines at mains multiples': () =>
    'tones at multiples of the mains frequency: from a bench charger or a mains-powered recorder',
  'a comb with the engine': () => 'a comb of tones with the engine running: alternator ripple',
  'low tones with the engine': () =>
    'low tones with the engine running: noise cancelling or engine sound may be on these outputs',
  'lines that are no mains multiples': () => 'steady tones that are not multiples of the mains',
  'recorder noise was measured': () => 'this is the recorder’s own noise: the radio is quieter',
  'lines move with the engine': ({ places }) =>
    `the tones move with the engine: lowest ${saidPlaces(places)}`,
  'lines come with the engine': ({ places }) =>
    `the tones come with the engine: lowest ${saidPlaces(places)}; a take at another speed shows whether they move`,
  'lines at volume zero': () => 'they are there at volume zero too',
  'converter hot, gain low': () => 'turn up what comes before the amplifier, and its own gain down',
  'leave no channel open': () => 'leave no unused input open',
  'noise takes on the battery': () =>
    'record the noise takes again with the charger off and the laptop on its battery',
  'isolated inputs if it stays': () => 'if it stays, use isolated inputs',
  'one ground point': () => 'give converter and amplifier one ground point: bare metal, a short thick wire',
  'signal leads away from supply': () => 'keep signal leads away from the supply wire',
  'differential inputs if it stays': () =>
    'if it stays, use differential or isolated inputs at the amplifier; never join a speaker minus',
  'record at two engine speeds': () =>
    'record again at idle and at a steady higher speed: tones that move with it belong to the engine',
  'settle noise cancelling': () =>
    'settle noise cancelling by the maker’s information before a subwoofer is added: it may boom',
  'compare which lines move': () =>
    'record with the engine off, at idle and fast, and compare which tones move',
  'reduce the pad’s loss': () => 'record with a smaller pad, or make a shorted take to compare',
  'judge noise under music': () =>
    'the radio mutes in silence: judge noise under quiet music, not between tracks',
};
