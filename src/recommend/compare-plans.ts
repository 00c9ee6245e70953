import type { Recommendation } from '../model/recommendation.ts';

/** What another plan for the same radio does differently; the parts are named by their ids. */
export interface PlanComparison {
  readonly stays: readonly string[];
  /** The fields that changed, and how far a number moved. */
  readonly changes: readonly { readonly id: string; readonly fields: readonly string[] }[];
  readonly added: readonly string[];
  readonly dropped: readonly string[];
}

/** Numbers that differ by less than a meter shows are the same. */
const SAME_RATIO = 1e-3;
/** The order of the list and the words are not settings. */
const NOT_SETTINGS = new Set(['id', 'kind', 'order', 'restsOn', 'reasons']);

/** Which recommendations stay as they were when parts are changed, and which are new, changed or gone. */
export function comparePlans({
  before,
  after,
}: {
  readonly before: readonly Recommendation[];
  readonly after: readonly Recommendation[];
}): PlanComparison {
  const earlier = new Map(before.map((item) => [item.id, item]));
  const later = new Set(after.map(({ id }) => id));
  const kept = after.flatMap((item) => {
    const old = earlier.get(item.id);
    return old === undefined ? [] : [{ id: item.id, fields: changedFields(old, item) }];
  });
  return {
    stays: kept.filter(({ fields }) => fields.length === 0).map(({ id }) => id),
    changes: kept.filter(({ fields }) => fields.length > 0),
    added: after.filter(({ id }) => !earlier.has(id)).map(({ id }) => id),
    dropped: before.filter(({ id }) => !later.has(id)).map(({ id }) => id),
  };
}

function changedFields(before: Recommendation, after: Recommendation): string[] {
  const [old, now] = [Object.entries(before), new Map(Object.entries(after))];
  return old
    .filter(([field, value]) => !NOT_SETTINGS.has(field) && !isSame(value, now.get(field)))
    .map(([field]) => field);
}

function isSame(before: unknown, after: unknown): boolean {
  if (typeof before === 'number' && typeof after === 'number') {
    return Math.abs(before - after) <= SAME_RATIO * Math.max(Math.abs(before), Math.abs(after), SAME_RATIO);
  }
  if (typeof before !== 'object' || typeof after !== 'object' || before === null || after === null)
    return before === after;
  const [old, now] = [Object.entries(before), Object.entries(after)];
  return (
    old.length === now.length &&
    old.every(([field, value]) => isSame(value, (after as Record<string, unknown>)[field]))
  );
}
