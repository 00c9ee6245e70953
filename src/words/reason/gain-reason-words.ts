import type { gainReasons } from '../../model/reason/gain-reasons.ts';
import type { ReasonWords } from '../reason-text.ts';

export const gainReasonWords: ReasonWords<keyof typeof gainReasons> = {
  'no setting is clean': ({ settings }) =>
    settings.length === 1
      ? `the only setting recorded, ${settings[0]}, clips`
      : `every setting recorded clips: ${settings.join(', ')}`,
};
