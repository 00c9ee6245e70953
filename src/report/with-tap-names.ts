import type { Results } from '../model/results.ts';
import { tapLabelOf } from './tap-label.ts';
import type { TapLabel } from './wording/statement.ts';

/** Figures of reasons that name outputs. */
const ONE = ['tapId', 'otherTapId', 'byTapId'] as const;
const SEVERAL = ['tapIds', 'withTapIds'] as const;

/** The results with every reason naming outputs as people named them, by label; ids elsewhere stay what they are. */
export function withTapNames(results: Results): Results {
  const label = tapLabelOf(results);
  const isPlain = results.session.taps.every((tap) => label(tap.id) === tap.id);
  if (isPlain) return results;
  const { findings, recommendations, chain, doubts, checks, notes } = results;
  const named = <Value>(value: Value) => renamed(value, label) as Value;
  return {
    ...results,
    findings: named(findings),
    recommendations: named(recommendations),
    notes: named(notes),
    ...(chain === undefined ? {} : { chain: named(chain) }),
    ...(doubts === undefined ? {} : { doubts: named(doubts) }),
    ...(checks === undefined ? {} : { checks: named(checks) }),
  };
}

/** A reason is what has a code; numbers by the thousand are passed by. */
function renamed(value: unknown, label: TapLabel): unknown {
  if (Array.isArray(value))
    return typeof value[0] === 'number' ? value : value.map((one) => renamed(one, label));
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value).map(([name, own]) => [name, renamed(own, label)] as const);
  const copy: Record<string, unknown> = Object.fromEntries(entries);
  if (typeof copy.code !== 'string') return copy;
  for (const name of ONE) if (typeof copy[name] === 'string') copy[name] = label(copy[name]);
  for (const name of SEVERAL)
    if (Array.isArray(copy[name])) copy[name] = copy[name].map((id) => label(String(id)));
  return copy;
}
