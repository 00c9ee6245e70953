import type { Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import type { TapLabel } from './statement.ts';

/**
 * Factory outputs as one says them: "dash and door" where all outputs of a place are meant, labels where only some are.
 *
 * @param tapIds or their labels: reasons name outputs by them (`withTapNames`)
 * @returns without the word "output"; a place with a single output goes by its label
 */
export function outputNames(results: Results, tapIds: readonly string[], label: TapLabel): string {
  const named = new Set(tapIds);
  const ids = new Set(
    results.session.taps.flatMap(({ id }) => (named.has(id) || named.has(label(id)) ? [id] : [])),
  );
  const said = new Set<string>();
  const names = results.session.taps
    .filter(({ id }) => ids.has(id))
    .flatMap((tap) => {
      const { id, position } = tap;
      const sameplace = results.session.taps.filter((other) => other.position === position);
      const whole = PLACES.has(position) && sameplace.length > 1 && sameplace.every((one) => ids.has(one.id));
      const name = whole ? position : label(id);
      if (said.has(name)) return [];
      said.add(name);
      return [name];
    });
  return listed(names);
}

const PLACES: ReadonlySet<string> = new Set(['front', 'rear', 'dash', 'door', 'centre']);

/** The same, "every output" where all of several are meant. */
export function outputsSaid(results: Results, tapIds: readonly string[], label: TapLabel): string {
  const ids = [...new Set(tapIds)];
  const all = ids.length > 2 && ids.length === results.session.taps.length;
  return all ? 'every output' : outputNames(results, ids, label);
}

/** "every output" where all of several are meant. */
export function outputsText(results: Results, tapIds: readonly string[], label: TapLabel): string {
  const ids = [...new Set(tapIds)];
  if (ids.length > 2 && ids.length === results.session.taps.length) return 'every output';
  return `the ${outputNames(results, ids, label)} ${ids.length === 1 ? 'output' : 'outputs'}`;
}
