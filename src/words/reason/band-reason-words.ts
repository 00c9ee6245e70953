import type { bandReasons } from '../../model/reason/band-reasons.ts';
import type { Reason } from '../../model/reason.ts';
import type { ReasonWords } from './reason-words.ts';

export const bandReasonWords: ReasonWords<keyof typeof bandReasons> = {
  'tap carries no programme': () => 'neither side rises clear of the noise there',
  'nothing clear of the noise': () => 'nothing rises clear of the noise',
  'band clear of the noise too narrow': () => 'too little of the band rises clear of the noise',
  'ends in doubt': ({ ends }) => ends.map(endText).join('; '),
  'filter and EQ not told apart': () =>
    'a filter and the EQ around it look alike here, so its pass band is not known',
  'filter or EQ makes the fall': () => 'a filter with EQ, or EQ alone, explains the fall equally well',
  'no filter explains the response': () =>
    'no filter with EQ explains the response (an all-pass, a compressor, or two paths added)',
  'no such fall in the band': ({ dropDb }) =>
    `within the band that is clear of the noise the response does not fall by ${dropDb.toFixed(0)} dB`,
  'points lie far apart': () =>
    'filters and EQ that fit equally well disagree about this point, or about the level of the pass band',
  'pass band not level enough for the point': () => 'the pass band is too uneven to say where it ends',
  'too much noise for the slope': () => 'the noise hides the slope',
  'no filter follows the edge': ({ misfitDb }) =>
    `no filter follows the measured edge closer than ${misfitDb.toFixed(1)} dB`,
  'slopes fit alike': ({ slopesDbPerOctave }) =>
    `${slopesDbPerOctave.map((slope) => `${slope} dB per octave`).join(', ')} fit equally well`,
  'filters fit alike': ({ filters }) =>
    `${filters.map(({ family, order }) => `${family} of order ${order}`).join(', ')} fit equally well`,
  'EQ around the corner': () => 'with EQ around the corner other filters would fit as well',
  'EQ not told from the fit': () => 'filters and EQ as radios have them do not explain the response',
};

function endText(end: Extract<Reason, { code: 'ends in doubt' }>['ends'][number]): string {
  switch (end.why) {
    case 'noise':
      return `${end.side === 'low' ? 'below' : 'above'} ${end.endHz.toFixed(0)} Hz the response falls and is lost in the noise`;
    case 'filter or EQ':
      return `at the ${end.side} end a filter fits as well as a shelf or a peak`;
    case 'no filter explains it':
      return `at the ${end.side} end it is ${end.fallDb.toFixed(0)} dB down, more than any filter or EQ explains`;
  }
}
