import { labelOf } from './labels.ts';

/** Names of fields within a description: `boxLitres`. */
const FIELD_NAME = /\b[a-z]+(?:[A-Z][a-z0-9]+)+\b|\b(?:qts|awg|mm2)\b/g;

/** What a field means as a form says it: other fields by their labels, ranges and yes or no in words. */
export function plainHelp(description: string): string {
  return description
    .replace(FIELD_NAME, (name) => `‘${labelOf(name).label}’`)
    .replace('Default: [0, 0], none', 'Default: none')
    .replace(/Default: \[([^,\]]+), ([^,\]]+)\]/, 'Default: $1 to $2')
    .replace(/Default: (true|false)/, (_, word: string) => `Default: ${word === 'true' ? 'yes' : 'no'}`);
}
