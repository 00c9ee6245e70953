import type { Results } from '../model/results.ts';

/** The recommendations in the order of work. */
export function inOrder({ recommendations }: Results): Results['recommendations'] {
  return [...recommendations].sort((a, b) => a.order - b.order);
}
