export type FieldPath = readonly PropertyKey[];

/** `recordings[2].channels`, as in most programs' messages. */
export function fieldName(path: FieldPath): string {
  const text = path.map((key) => (typeof key === 'number' ? `[${key}]` : `.${String(key)}`)).join('');
  return text.replace(/^\./, '');
}
