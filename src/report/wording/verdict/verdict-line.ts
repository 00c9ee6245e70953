import { codeOf, type Reason } from '../../../model/reason.ts';
import type { Results } from '../../../model/results.ts';
import type { Sentence } from '../../sentence.ts';

/** One line of the verdict: a decision, rounded as one would say it. */
export interface VerdictLine {
  readonly name: string;
  readonly sentence: Sentence;
  readonly known: boolean;
  /** Findings and recommendations with the exact figures. */
  readonly evidenceIds: readonly string[];
}

/** The figures of a reason behind the verdict; undefined where it is none. */
export function because<Code extends Reason['code']>(
  { chain }: Results,
  code: Code,
): Extract<Reason, { code: Code }> | undefined {
  return chain?.because.find((reason): reason is Extract<Reason, { code: Code }> => codeOf(reason) === code);
}

export function idsOf(items: readonly { id: string }[]): string[] {
  return items.map(({ id }) => id);
}
