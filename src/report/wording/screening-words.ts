import type { Screening } from '../../findings/bass/screening.ts';

const CANNOT_TELL: Readonly<Record<Extract<Screening, { answer: 'cannot tell' }>['why'], string>> = {
  'one setting': 'one setting says nothing: record a low, a middle and a high one',
  'no bass heard':
    'there was no bass above the noise in every take: turn the middle and high takes up, or close the windows',
  'too noisy':
    'the noise in the car hides it: switch the fan and engine off, close the windows, record again',
  'bass rises':
    'the bass gained on the rest as the volume went up, which no radio does: something in the car moved, record again',
};

/** What a screening by phone proves, and what only an opened dash would add. */
export function screeningLines(screening: Screening): string[] {
  return [
    answer(screening),
    'An opened dash would add:',
    '  which output carries what, polarity and timing',
    '  volts, and from which setting it clips',
    '  whether a limiter takes part, and the noise',
    '  the exact setting at which the bass begins to go, and how much restoration brings back',
  ];
}

function answer(screening: Screening): string {
  if (screening.answer === 'cannot tell')
    return `Does bass go with the volume? Cannot tell: ${CANNOT_TELL[screening.why]}.`;
  const [low, high] = screening.settings;
  if (screening.answer === 'no')
    return `Does bass go with the volume? No: it keeps up within ${screening.withinDb.toFixed(0)} dB from ${low} to ${high}.`;
  const { between, atHz, lostDb } = screening;
  const lost = `at ${high} it has lost ${lostDb.toFixed(0)} dB at ${atHz} Hz against ${low}`;
  return screening.answer === 'yes'
    ? `Does bass go with the volume? Yes, from between ${between[0]} and ${between[1]}: ${lost}.`
    : `Does bass go with the volume? It falls between ${between[0]} and ${between[1]} only: ${lost}. A lift at low volume does the same: record a setting between them and a higher one.`;
}
