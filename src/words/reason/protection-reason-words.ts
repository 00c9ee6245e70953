import type { protectionReasons } from '../../model/reason/protection-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

const and = (names: readonly string[]) => names.join(' and ');
const carrying = (names: readonly string[]) => `${and(names)} ${names.length === 1 ? 'carries' : 'carry'}`;
const hz = (value: number) =>
  value >= 999.5 ? `${Number((value / 1000).toPrecision(3))} kHz` : `${Math.round(value)} Hz`;

export const protectionReasonWords: ReasonWords<keyof typeof protectionReasons> = {
  'small driver loses the radio’s filter': ({ tapIds, cornerHz, slopeDbPerOctave }) =>
    `the small driver on ${and(tapIds)} gets nothing below ${hz(cornerHz)} from the radio${slopeDbPerOctave === null ? '' : ` (${slopeDbPerOctave.toFixed(0)} dB an octave)`}; the summed channel is full range`,
  'nothing keeps bass from the tweeter': ({ name }) =>
    `the channel carries bass, and the notes name nothing that keeps it out of the tweeter of ${name}`,
  'passive crossover takes the channel': ({ name }) => `the passive crossover of ${name} takes the channel`,
  'capacitor is a last protection': ({ microfarads, ohms, cornerHz }) =>
    `${microfarads.toFixed(1)} microfarads ahead of ${ohms} ohm make 6 dB an octave from ${hz(cornerHz)}: a last protection, not a crossover`,
  'tweeter on a channel of its own': ({ notBelowHz, leastSlopeDbPerOctave, slopeDbPerOctave, gainToneHz }) =>
    `give the tweeter a channel of its own: high-pass at ${hz(notBelowHz)} or above, ${leastSlopeDbPerOctave} or better ${slopeDbPerOctave} dB an octave. Set its gain with ${hz(gainToneHz)}, never with 100 Hz`,
  'or a set with a passive crossover': () =>
    'or fit a speaker set with its own passive crossover: it takes the channel, the factory tweeter is disconnected',
  'or the small driver stays with the radio': ({ tapIds }) =>
    `or leave ${and(tapIds)} with the radio’s own amplifier and feed the doors alone: match both levels at the usual setting`,
  'factory tweeter loses its feed': ({ tapIds }) =>
    `the factory speaker on ${and(tapIds)} no longer plays from the radio`,
  'how are the speakers wired': () =>
    'find out how door and tweeter are wired before you connect the channel',
  'parallel speakers load the channel': ({ ohms }) =>
    `door and tweeter in parallel load the channel with ${ohms.toFixed(1)} ohm`,
  'connect tweeters last': ({ cornerHz, lowHz = cornerHz / 2, highHz = cornerHz * 2 }) =>
    `connect tweeters last, once the meter has proved the filter: a tone at ${hz(lowHz)} must read 12 dB or more below one at ${hz(highHz)}`,
  'announcements are heard on': ({ tapIds }) => `${carrying(tapIds)} chimes or prompts`,
  'announcements on outputs in use': ({ tapIds }) => `the plan feeds amplifiers from ${and(tapIds)}`,
  'feed from an output without them': ({ tapId, byTapId }) =>
    `${byTapId} carries the same band without them: take it instead of ${tapId}`,
  'they become louder': ({ tapIds }) =>
    `no other output has the band of ${and(tapIds)}: chimes and prompts get louder with the amplifier. Tell the customer, or leave that output with the radio`,
  'engine sound on outputs': ({ tapIds }) =>
    `${carrying(tapIds)} tones that follow the engine: noise cancelling or artificial engine sound`,
  'settle engine sound first': () =>
    'before a subwoofer plays, follow the maker’s procedure (unplug the microphones or code the function out), or it booms',
};
