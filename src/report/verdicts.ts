import type { Results } from '../model/results.ts';
import { plainText, say } from './sentence.ts';
import { tapLabelOf } from './tap-label.ts';
import type { Answer } from './verdicts/answer.ts';
import { bandAnswers } from './verdicts/band-answers.ts';
import { bassAnswers } from './verdicts/bass-answers.ts';
import { levelAnswers } from './verdicts/level-answers.ts';
import { openAnswers } from './verdicts/open-answers.ts';
import { withTapNames } from './with-tap-names.ts';
import { notSettledWords } from './wording/not-settled-words.ts';

/** One of the installer's questions, with its answers. */
export interface Verdict {
  readonly question: string;
  readonly answers: readonly Answer[];
}

/** The installer's three questions, answered; a fourth where something has to be recorded or cannot be done. */
export function verdicts(results: Results): Verdict[] {
  const label = tapLabelOf(results);
  const open = openAnswers(results, label);
  const unsettled = notSettledWords(results, label);
  return [
    ...(unsettled === null
      ? []
      : [{ question: 'What is not settled?', answers: [{ ...unsettled, known: false }] }]),
    { question: 'Does the radio cut the bass?', answers: orNothing(bassAnswers(results, label)) },
    {
      question: 'What comes out where, and what do you sum?',
      answers: orNothing(bandAnswers(results, label)),
    },
    {
      question: 'How loud may it go, and what are the gains?',
      answers: orNothing(levelAnswers(results, label)),
    },
    ...(open.length === 0 ? [] : [{ question: 'What comes first?', answers: open }]),
  ];
}

/** The same for a terminal, one line an answer. */
export function summaryLines(results: Results): string[] {
  return verdicts(withTapNames(results)).flatMap(({ question, answers }) => [
    question,
    ...answers.map(({ sentence }) => `  ${plainText(sentence)}`),
  ]);
}

function orNothing(answers: readonly Answer[]): readonly Answer[] {
  if (answers.length > 0) return answers;
  return [{ sentence: say`Not known: no recording answers it.`, known: false, evidenceIds: [] }];
}
