import type { groundReasons } from '../../model/reason/ground-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

const SPEED = { off: 'with the engine off', idle: 'at idle', fast: 'at the higher speed' } as const;
const saidPlaces = (places: readonly { engine: keyof typeof SPEED; hz: number }[]) =>
  places.map(({ engine, hz }) => `${Math.round(hz)} Hz ${SPEED[engine]}`).join(', ');

export const groundReasonWords: ReasonWords<keyof typeof groundReasons> = {
  'an even floor': () => 'an even floor without lines: gain structure decides how much of it is heard',
  'lines at mains multiples': () =>
    'lines at multiples of the mains frequency: from a bench charger or a mains-powered recorder',
  'a comb with the engine': () => 'a comb of lines with the engine running: ripple of the alternator',
  'low tones with the engine': () =>
    'low tones with the engine running: noise cancelling or synthesised engine sound may be on these taps',
  'lines that are no mains multiples': () => 'steady lines that are no mains multiples',
  'recorder noise was measured': () =>
    'the recorder’s own noise is what was measured: the radio is quieter than it',
  'lines move with the engine': ({ places }) =>
    `the lines move with the engine: lowest ${saidPlaces(places)}`,
  'lines come with the engine': ({ places }) =>
    `the lines come with the engine: lowest ${saidPlaces(places)}; another engine speed would show whether they move`,
  'lines at volume zero': () => 'they are there at volume zero: the volume does not make them',
  'converter hot, gain low': () => 'converter hot, amplifier gain low',
  'leave no channel open': () => 'leave no channel open that is not used',
  'noise takes on the battery': () =>
    'take the noise takes again with the charger off and the laptop on its battery',
  'isolated inputs if it stays': () => 'if it stays, use isolated inputs',
  'one ground point': () => 'one ground point for converter and amplifier, bare metal, short and thick',
  'signal leads away from supply': () => 'keep signal leads away from the supply wire',
  'differential inputs if it stays': () =>
    'if it stays: differential or isolated inputs at the amplifier, never a joined speaker minus',
  'record at two engine speeds': () =>
    'record again at idle and at a steady higher speed: tones that move with it belong to the engine',
  'settle noise cancelling': () =>
    'settle noise cancelling by the maker’s information before a subwoofer is added: it may boom',
  'compare which lines move': () =>
    'record with the engine off, at idle and fast, and compare which lines move',
  'reduce the pad’s loss': () => 'record with the pad’s loss reduced, or with a shorted take beside it',
  'judge noise under music': () =>
    'the radio mutes in silence: judge noise under quiet music, not between tracks',
};
