import { readdirSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { nearestWord } from '../src/model/nearest-word.ts';

/** The file or folder that was probably meant, written as it has to be; undefined where none but itself is near. */
export function nearName(path: string): string | undefined {
  const folder = dirname(path);
  const near = nearestWord({
    written: basename(path),
    words: namesIn(folder).filter((name) => name !== basename(path)),
  });
  return near === undefined || folder === '.' ? near : join(folder, near);
}

/** In order; nothing where the folder cannot be read. */
export function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder).sort();
  } catch {
    return [];
  }
}
