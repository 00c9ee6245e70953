import type { Recommendation } from '../../model/recommendation.ts';
import { feedWords, orderWords, padWords } from './feed-words.ts';
import {
  amplifierGainWords,
  converterLevelWords,
  gainStructureWords,
  highestCleanWords,
} from './gain-words.ts';
import {
  cannotBeDoneWords,
  confirmWords,
  groundingWords,
  recordNextWords,
  supplyWords,
  turnOnWords,
} from './install-words.ts';
import { protectionWords, radioSoundsWords } from './protection-words.ts';
import { restorationWords, subwooferLawWords } from './restoration-words.ts';
import type { RecommendationWords, TapLabel } from './statement.ts';
import { balanceWords, delayWords } from './time-words.ts';
import { bassReachWords, equalizerWords, filterWords, seatWords } from './tuning-words.ts';

/** The words of a recommendation, and its row in the settings to dial in. */
export function recommendationWords(item: Recommendation, tapLabel: TapLabel): RecommendationWords {
  switch (item.kind) {
    case 'order':
      return orderWords(item);
    case 'feed':
      return feedWords(item, tapLabel);
    case 'restoration':
      return restorationWords(item);
    case 'highest-clean-setting':
      return highestCleanWords(item, tapLabel);
    case 'converter-level':
      return converterLevelWords(item);
    case 'amplifier-gain':
      return amplifierGainWords(item);
    case 'gain-structure':
      return gainStructureWords(item);
    case 'pad':
      return padWords(item, tapLabel);
    case 'filter':
      return filterWords(item);
    case 'equalizer':
      return equalizerWords(item);
    case 'delay':
      return delayWords(item);
    case 'balance':
      return balanceWords(item);
    case 'protection':
      return protectionWords(item, tapLabel);
    case 'radio-sounds':
      return radioSoundsWords(item, tapLabel);
    case 'subwoofer-law':
      return subwooferLawWords(item);
    case 'bass-reach':
      return bassReachWords(item);
    case 'seat':
      return seatWords(item);
    case 'turn-on':
      return turnOnWords(item);
    case 'grounding':
      return groundingWords(item, tapLabel);
    case 'supply':
      return supplyWords(item);
    case 'record-next':
      return recordNextWords(item, tapLabel);
    case 'cannot-be-done':
      return cannotBeDoneWords(item);
    case 'confirm':
      return confirmWords(item, tapLabel);
  }
}
