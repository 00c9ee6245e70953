export interface LargestChange {
  /** Of a figure above 1 its part, of a smaller one the figure itself. */
  readonly by: number;
  readonly where: string;
  /** Where anything but figures differs. */
  readonly otherwise: readonly string[];
}

/** How far two results are apart. */
export function largestChange(one: unknown, other: unknown, where = ''): LargestChange {
  if (typeof one === 'number' && typeof other === 'number') {
    const by = Math.abs(one - other) / Math.max(1, Math.abs(one), Math.abs(other));
    return { by, where, otherwise: [] };
  }
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null)
    return { by: 0, where, otherwise: one === other ? [] : [where] };
  const names = [...new Set([...Object.keys(one), ...Object.keys(other)])];
  return names
    .map((name) =>
      largestChange(one[name as keyof typeof one], other[name as keyof typeof other], `${where}.${name}`),
    )
    .reduce(
      (worst, next) => ({
        ...(next.by > worst.by ? next : worst),
        otherwise: [...worst.otherwise, ...next.otherwise],
      }),
      {
        by: 0,
        where,
        otherwise: [],
      },
    );
}
