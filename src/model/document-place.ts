import { type Document, isMap, isNode, type LineCounter } from 'yaml';
import type { FieldPath } from './field-path.ts';

/** Of the field itself or, where it is missing, of the nearest field around it. */
export function documentPlace({
  document,
  lineCounter,
  path,
}: {
  document: Document;
  lineCounter: LineCounter;
  path: FieldPath;
}): string {
  for (let length = path.length; length >= 0; length--) {
    const offset = offsetOf(document, path.slice(0, length));
    if (offset === undefined) continue;
    const { line, col } = lineCounter.linePos(offset);
    return `line ${line}, column ${col}`;
  }
  return 'line 1, column 1';
}

/** A field is where its name stands; an entry of a list is where it begins. */
function offsetOf(document: Document, path: FieldPath): number | undefined {
  const parent = path.length === 0 ? undefined : document.getIn(path.slice(0, -1), true);
  if (isMap(parent)) {
    const key = parent.items.find(
      (pair) => isNode(pair.key) && String(pair.key) === String(path[path.length - 1]),
    )?.key;
    return isNode(key) ? key.range?.[0] : undefined;
  }
  const node = path.length === 0 ? document.contents : document.getIn(path, true);
  return isNode(node) ? node.range?.[0] : undefined;
}
