import { mkdirSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { systemCode } from './system-reason.ts';

/**
 * Makes a folder and those above it that are missing, one after the other: `recursive` of Node never ends where the system
 * says of a folder that is there that it is not, as `/proc` does.
 *
 * @returns the first folder that was made; undefined where all were there
 * @throws what the system says
 */
export function makeFolders(folder: string): string | undefined {
  if (isFolder(folder)) return undefined;
  const above = dirname(folder) === folder ? undefined : makeFolders(dirname(folder));
  try {
    mkdirSync(folder);
  } catch (error) {
    // Another run made it meanwhile.
    if (systemCode(error) !== 'EEXIST' || !isFolder(folder)) throw error;
    return above;
  }
  return above ?? folder;
}

function isFolder(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() === true;
}
