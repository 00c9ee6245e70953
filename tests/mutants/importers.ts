import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

const IMPORTED = /(?:from|import\() ?'(\.[^']+\.tsx?)'|^import '(\.[^']+\.tsx?)'/gm;

/** Test files that import `file`, themselves or through others; paths from `root`. Types count: they are cheap and rarely alone. */
export function importersOf(file: string, root: string): string[] {
  const importedBy = new Map<string, string[]>();
  for (const name of sourcesIn(root))
    for (const match of readFileSync(join(root, name), 'utf8').matchAll(IMPORTED)) {
      const imported = join(dirname(name), match[1] ?? match[2]);
      importedBy.set(imported, [...(importedBy.get(imported) ?? []), name]);
    }
  const found = new Set<string>();
  const waiting = [file];
  for (let name = waiting.pop(); name !== undefined; name = waiting.pop()) {
    if (found.has(name)) continue;
    found.add(name);
    waiting.push(...(importedBy.get(name) ?? []));
  }
  return [...found].filter((name) => name.endsWith('.test.ts')).sort();
}

function sourcesIn(root: string): string[] {
  return ['src', 'cli', 'tests', 'report-template'].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.tsx?$/.test(name))
      .map((name) => join(folder, name)),
  );
}
