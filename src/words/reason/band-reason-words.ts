import type { bandReasons } from '../../model/reason/band-reasons.ts';
import type { Reason } from '../../model/reason.ts';
import type { ReasonWords } from './reason-words.ts';

export const bandReasonWords: ReasonWords<keyof typeof bandReasons> = {
  'tap carries no programme': () => 'the output plays neither side',
  'nothing clear of the noise': () => 'nothing stands clear of the noise',
  'band clear of the noise too narrow': () => 'too narrow a band stands clear of the noise',
  'ends in doubt': ({ ends }) => ends.map(endText).join('; '),
  'filter and EQ not told apart': () =>
    'a filter and EQ around it cannot be told apart, so that its pass band is not known',
  'filter or EQ makes the fall': () =>
    'a filter and EQ, or EQ alone, fit the measured fall equally well within the noise',
  'no filter explains the response': () =>
    'no filter with EQ explains the response (an all-pass, a compressor, or two paths summed)',
  'no such fall in the band': ({ dropDb }) =>
    `the response does not fall by ${dropDb.toFixed(0)} dB inside the band that stands clear of the noise`,
  'points lie far apart': () =>
    'filters and EQ that fit equally well put the point, or the level of the pass band, far apart',
  'pass band not level enough for the point': () =>
    'the level of its pass band is not even enough to say where it leaves it',
  'too much noise for the slope': () => 'too much noise to tell the slope',
  'no filter follows the edge': ({ misfitDb }) =>
    `no filter follows the measured edge closer than ${misfitDb.toFixed(1)} dB`,
  'slopes fit alike': ({ slopesDbPerOctave }) =>
    `${slopesDbPerOctave.map((slope) => `${slope} dB per octave`).join(', ')} fit equally well within the noise`,
  'filters fit alike': ({ filters }) =>
    `${filters.map(({ family, order }) => `${family} of order ${order}`).join(', ')} fit equally well within the noise`,
  'EQ around the corner': () => 'EQ around the corner would let other filters fit as well',
  'EQ not told from the fit': () => 'filters and EQ as radios have them do not explain the response',
};

function endText(end: Extract<Reason, { code: 'ends in doubt' }>['ends'][number]): string {
  switch (end.why) {
    case 'noise':
      return `${end.side === 'low' ? 'below' : 'above'} ${end.endHz.toFixed(0)} Hz the response, which falls there, does not stand clear of the noise`;
    case 'filter or EQ':
      return `at the ${end.side} end a filter and a shelf or peak fit equally well within the noise`;
    case 'no filter explains it':
      return `at the ${end.side} end it is ${end.fallDb.toFixed(0)} dB down, as no filter or EQ makes it`;
  }
}
