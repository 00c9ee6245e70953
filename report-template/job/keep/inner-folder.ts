import { AFTER_INSTALL, CONFIRM, OUT, SCREENING } from './folders.ts';

const OWN_FOLDERS: readonly string[] = [AFTER_INSTALL, CONFIRM, OUT, SCREENING];
const OF_THE_WORK = /\.(wav|wave|bwf|rf64|ya?ml|json)$/i;

/** Files of a job that lies in folders, as on a recorder's card: without the folders that hold all of its recordings and sessions. */
export function withoutFolders(files: ReadonlyMap<string, Blob>): Map<string, Blob> {
  const names = [...files.keys()].filter((name) => OF_THE_WORK.test(name));
  let start = '';
  for (;;) {
    const [folder] = names.map((name) => /^[^/]+\//.exec(name.slice(start.length))?.[0]);
    const isShared = folder !== undefined && names.every((name) => name.startsWith(start + folder));
    if (!isShared || OWN_FOLDERS.includes(folder.slice(0, -1))) break;
    start += folder;
  }
  return new Map(
    [...files].map(([name, blob]) => [name.startsWith(start) ? name.slice(start.length) : name, blob]),
  );
}

/** Folders whose recordings no step reads. */
export function foreignFolders(names: readonly string[]): string[] {
  const folders = names.flatMap((name) => /^(.+)\/[^/]+\.(?:wav|wave|bwf|rf64)$/i.exec(name)?.[1] ?? []);
  return [...new Set(folders)].filter((folder) => !OWN_FOLDERS.includes(folder));
}
