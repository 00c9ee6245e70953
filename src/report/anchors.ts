import type { Evidence } from '../model/evidence.ts';
import type { Results } from '../model/results.ts';
import type { FindingGroup } from './finding-groups.ts';
import { type TakeRow, takeKey, takeRows } from './take-rows.ts';

/** Where things stand in the page. Anchors are counted, so that no text of the user's gets into an address. */
export interface Anchors {
  /** Of a finding's group or a recommendation; null for an id that the results do not hold. */
  readonly of: (id: string) => string | null;
  /** Number of a finding's group in the list of findings; null for what is none. */
  readonly findingNumber: (id: string) => number | null;
  /** Row among the recordings of the take that evidence comes from. */
  readonly rowOf: (evidence: Evidence) => TakeRow | null;
  readonly rows: readonly TakeRow[];
}

export function anchorsOf(results: Results, groups: readonly FindingGroup[]): Anchors {
  const numbers = new Map(
    groups.flatMap(({ findings }, i) => findings.map(({ id }) => [id, i + 1] as const)),
  );
  const anchors = new Map([
    ...[...numbers].map(([id, number]) => [id, `found-${number}`] as const),
    ...results.recommendations.map(({ id }, i) => [id, `advice-${i + 1}`] as const),
  ]);
  const rows = takeRows(results);
  const byTake = new Map(rows.map((row) => [takeKey(row.evidence), row]));
  return {
    of: (id) => anchors.get(id) ?? null,
    findingNumber: (id) => numbers.get(id) ?? null,
    rowOf: (evidence) => byTake.get(takeKey(evidence)) ?? null,
    rows,
  };
}
