import type { limitReasons } from '../../model/reason/limit-reasons.ts';
import type { ReasonWords } from './reason-words.ts';

export const limitReasonWords: ReasonWords<keyof typeof limitReasons> = {
  'bass restored in full': () => 'full bass up to the highest clean setting',
  'restoration is limited by': ({ limitedBy, mostDb }) =>
    limitedBy === '12 dB' ? `more than ${mostDb} dB of boost` : limitedBy,
  'bass that stays missing': ({ amountDb, missingDb, setting }) =>
    `${amountDb.toFixed(1)} dB; at setting ${setting} up to ${missingDb.toFixed(1)} dB stays missing`,
  'nearest restoration': ({ limitedBy }) => NEAREST_WITH[limitedBy],
  'a part that restores more': ({ limitedBy, mostDb }) => partThatRestoresMore(limitedBy, mostDb),
  'an even feed for': ({ output, side }) => `an even feed for ${output}${side === 'both' ? '' : ` ${side}`}`,
  'taps work against each other': ({ dipDb, hz }) =>
    `the outputs work against each other: ${dipDb.toFixed(1)} dB at ${Math.round(hz)} Hz`,
  'the feed as listed': () => 'the feed as listed',
  'a digital processor with delay': () => 'a digital processor with delay',
  'the plan with': ({ name }) => `the plan with ${name}`,
  'listed with each setting': () => 'what it can do is listed with each setting',
  'a converter of the class': ({ converterClass }) => converterClass,
  'volume control on': ({ tapIds }) => `turning ${tapIds.join(' and ')} up and down with the radio`,
  'a level of its own': () => 'a fixed level comes out, whatever the volume',
  'a level control of its own': () =>
    'fit it with its own level control; chimes and prompts get loud through it',
};

type LimitedBy = 'the converter' | '12 dB' | 'headroom' | 'cone travel';

const NEAREST_WITH: Readonly<Record<LimitedBy, string>> = {
  'the converter': 'what it gives',
  '12 dB': 'what is left of it, at a lower setting',
  headroom: 'the boost in full, at less level than the amplifier could give',
  'cone travel': 'the boost in full at lower levels, and a high-pass where the cones run out of travel',
};

function partThatRestoresMore(limitedBy: LimitedBy, mostDb: number): string {
  if (limitedBy === 'headroom') return 'a converter with more gain';
  if (limitedBy === 'cone travel') return 'a woofer with more cone area or travel';
  return `a summing converter with ${mostDb} dB of restoration`;
}
