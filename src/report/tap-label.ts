import type { Results } from '../model/results.ts';
import type { TapLabel } from './wording/statement.ts';

/** What people called each output; its id where they left that out. */
export function tapLabelOf({ session }: Results): TapLabel {
  const labels = new Map(session.taps.map(({ id, label }) => [id, label === '' ? id : label]));
  return (tapId) => labels.get(tapId) ?? tapId;
}
