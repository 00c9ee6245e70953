import { withoutFolders } from './inner-folder.ts';
import { unzipped } from './zip.ts';

/** A job that was saved, packed again by a mailer, and put into a folder that is packed: no more is likely (chosen here). */
const MOST_ZIPS_IN_ZIPS = 3;

/** What was given and what is in its zips; or the name of the one that is none. */
export async function withZipsOpened(
  given: ReadonlyMap<string, Blob>,
  depth = 0,
): Promise<{ files: Map<string, Blob> } | { noZip: string }> {
  const files = new Map<string, Blob>();
  for (const [name, blob] of given) {
    if (!/\.zip$/i.test(name) || depth >= MOST_ZIPS_IN_ZIPS) files.set(name, blob);
    else {
      const content = await unzipped(blob).catch(() => null);
      if (content === null) return { noZip: name };
      const inner = await withZipsOpened(withoutFolders(content), depth + 1);
      if ('noZip' in inner) return inner;
      for (const [innerName, one] of inner.files) files.set(innerName, one);
    }
  }
  return { files };
}
