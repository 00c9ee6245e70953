import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder of this package: the nearest one above with a package.json, so that it is found from `cli/` and `dist/cli/`. */
export function packageFolder(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (!existsSync(join(folder, 'package.json'))) folder = dirname(folder);
  return folder;
}

export function toolVersion(): string {
  return JSON.parse(readFileSync(join(packageFolder(), 'package.json'), 'utf8')).version;
}
