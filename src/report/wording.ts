import type { Finding } from '../model/finding.ts';
import { ofSettings } from '../words/figures.ts';
import { reasonText } from '../words/reason-text.ts';
import { say } from './sentence.ts';
import { bandWords, commonCeilingWords, crossoverWords } from './wording/band-words.ts';
import { bassChangeWords, bassLimiterWords, loudnessContourWords } from './wording/bass-words.ts';
import {
  cleanSettingsWords,
  clippingWords,
  railWords,
  recorderClippingWords,
  volumeLawWords,
} from './wording/level-words.ts';
import { noiseWords } from './wording/noise-words.ts';
import { routingWords, timingWords } from './wording/routing-words.ts';
import { otherSourceWords } from './wording/source-words.ts';
import { capitalised, type FindingWords, known, type Statement, type TapLabel } from './wording/statement.ts';

/**
 * The words of a finding: what was looked at, the verdict, and everything there is to know about it. The files beside
 * this one hold them by subject; no other place in the project words a finding.
 */
export function findingWords(finding: Finding, tapLabel: TapLabel): FindingWords {
  const words = wordsOfKind(finding, tapLabel);
  return { ...words, statements: [...words.statements, ...doubtStatements(finding)] };
}

/** Takes that were left out; a doubt about all of them is worded with what it withholds. */
function doubtStatements({ doubts = [] }: Finding): Statement[] {
  return doubts.flatMap(({ settings, reason }) =>
    settings === null
      ? []
      : [known(say`${capitalised(ofSettings(settings))} left out: ${reasonText(reason)}.`)],
  );
}

function wordsOfKind(finding: Finding, tapLabel: TapLabel): FindingWords {
  switch (finding.kind) {
    case 'bass-change':
      return bassChangeWords(finding);
    case 'loudness-contour':
      return loudnessContourWords(finding);
    case 'bass-limiter':
      return bassLimiterWords(finding);
    case 'band':
      return bandWords(finding);
    case 'crossover':
      return crossoverWords(finding, tapLabel);
    case 'routing':
      return routingWords(finding);
    case 'timing':
      return timingWords(finding, tapLabel);
    case 'volume-law':
      return volumeLawWords(finding);
    case 'clipping':
      return clippingWords(finding);
    case 'clean-settings':
      return cleanSettingsWords(finding);
    case 'recorder-clipping':
      return recorderClippingWords(finding);
    case 'rail':
      return railWords(finding);
    case 'noise':
      return noiseWords(finding);
    case 'other-source':
      return otherSourceWords(finding);
    case 'common-ceiling':
      return commonCeilingWords(finding);
  }
}
