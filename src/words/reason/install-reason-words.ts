import type { installReasons } from '../../model/reason/install-reasons.ts';
import { amount, counted, listed, oneDecimal } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

const ms = (seconds: number) => `${(1000 * seconds).toFixed(1)} ms`;

export const installReasonWords: ReasonWords<keyof typeof installReasons> = {
  'supply for the most': () =>
    'wire and fuse must stand the most that the amplifiers can draw into these loads; music draws about an eighth of it',
  'fuse too large': ({ amps, atMostAmps }) =>
    `the ${amount(amps)} A fuse does not protect this wire: fit at most ${amount(atMostAmps)} A`,
  'fuse too small': ({ amps, currentAmps }) =>
    `the ${amount(amps)} A fuse blows at full output: ${amount(currentAmps)} A`,
  'no fuse fits': ({ atMostAmps, atLeastAmps }) =>
    `no fuse fits: this wire allows ${amount(atMostAmps)} A at most, the amplifiers need ${amount(atLeastAmps)} A at least; take a thicker wire`,
  'move the fuse': () =>
    'move the main fuse to within 45 cm (18 in) of the battery: the wire before it is unprotected',
  'fuses at the split': ({ branches }) =>
    `behind a split, fuse each branch for its own wire, at least: ${listed(branches.map(({ amplifier, fuseAmps }) => `${amplifier} ${amount(fuseAmps)} A`))}`,
  'parts for 24 V': ({ volts }) =>
    `the supply is ${oneDecimal(volts)} V: most car amplifiers and converters are made for 12 V. Fit parts rated for 24 V, or a 24 to 12 V supply that gives this current`,
  'ground as thick': () => 'make the ground wire as thick as the supply wire',
  'ground wire': ({ mm2 }) => `make the ground wire as thick as the supply wire: ${amount(mm2)} mm²`,
  'clad wire': () =>
    'copper-clad aluminium needs crimps made for it and about 1.6 times the cross-section of copper',
  'charging system': () =>
    'have the charging system checked where the average draw passes a third of the alternator’s rating',
  'battery off': () =>
    'disconnect the battery before wiring; keep away from airbag connectors and orange cables',
  'ground to bare metal': () =>
    'ground to bare chassis metal, not to a battery post that carries a current sensor; ferrules on stranded wire under set screws',
  'codes come first': () =>
    'the maker’s service information, local codes and licensed practice come before these figures',
  'no output in use': () => 'no output is in use',
  'no load at line level': () => 'line level needs no load: connect nothing else to these outputs',
  'keep a load': () =>
    'keep a speaker or a 47 ohm 5 W resistor on every factory output in use: some mute or change with nothing connected',
  'keep a load at speaker level': () =>
    'keep a speaker or a 47 ohm 5 W resistor on every speaker-level output in use, and none on the line outputs',
  'too few inputs': ({ needed, has }) => `it has ${counted(has, 'input')} and needs ${needed}`,
  'cannot add': () => 'it cannot sum outputs',
  'cannot delay': () => 'it cannot delay',
  'delays too little': ({ neededSeconds, hasSeconds }) =>
    `it delays by ${ms(hasSeconds)} and needs ${ms(neededSeconds)}`,
  'too little restoration': ({ neededDb, hasDb }) =>
    `it restores ${oneDecimal(hasDb)} dB of bass, and the radio cuts ${oneDecimal(neededDb)} dB`,
  'loss not known yet': () =>
    'nobody knows yet how much bass the radio takes away: order nothing without restoration',
  'inputs stand too little': ({ stands, needed }) =>
    `its inputs stand ${amount(stands)} V, and up to ${oneDecimal(needed)} V may come: put a pad in front`,
  'straight into line inputs': () =>
    'the outputs are line level: run them straight into the amplifiers’ line inputs',
  'straight into speaker-level inputs': () =>
    'the outputs are full range, nothing has to be summed or restored, and the amplifier’s speaker-level inputs stand these volts',
  'the part given will do': ({ name }) => `${name} does all that is needed`,
  'outputs are added': () => 'each output carries part of the band: sum them',
  'outputs do not arrive together': ({ seconds }) =>
    `the outputs do not arrive together: some have to be delayed${seconds === undefined ? '' : `, by up to ${ms(seconds)}`}`,
  'outputs are not equally strong': ({ trimDb }) =>
    `the outputs are not equally strong: turn one down by ${Math.round(trimDb)} dB before it is added`,
  'bass is missing': ({ db }) => `at the highest clean setting the bass is short by ${oneDecimal(db)} dB`,
  'speaker-level inputs if they stand it': () =>
    'amplifiers whose speaker-level inputs stand the volts need no converter: the volts are not known yet',
  'speaker-level inputs rated for': ({ volts }) =>
    `amplifiers with speaker-level inputs rated for ${oneDecimal(volts)} V or more need no converter`,
  'no amplifiers given': () => 'you named no amplifiers: this class is what the radio asks for',
  'one pad for each input': () =>
    'one pad for each input, both wires of a bridged pair floating: neither goes to chassis',
  'no tap is in use': () => 'no output is in use',
  'quiet music wakes it': ({ setting }) =>
    `quiet music at setting ${setting}, the quietest recorded, still wakes it`,
  'check that it sleeps': () => 'check that it goes to sleep again with retained accessory power',
  'quiet volts are not known': () =>
    'nobody knows the volts at the quietest setting: use a switched accessory line',
  'no signal sense': () => 'the part you named has no signal sense: use a switched accessory line',
  'quiet music may not wake it': ({ setting }) =>
    `quiet music at setting ${setting} may be too low for signal sense: use a switched accessory line`,
};
