import { dirname, join } from 'node:path';
import { readResults } from '../src/commands/read-results.ts';
import { curveTables } from '../src/curves/curve-tables.ts';
import { diskFile } from './disk-folder.ts';
import type { Outcome } from './outcome.ts';
import { sha256 } from './sha256.ts';
import { writeTogether } from './write-together.ts';

const DEFAULT_OUT = 'curves';

/**
 * Writes the curves of results as CSV files, all or none.
 *
 * @throws SteptoneError 'file-missing', 'usage' where the file is no results file, 'would-overwrite', 'cannot-write'
 */
export async function curvesCommand({
  resultsFile,
  out,
  force,
}: {
  resultsFile: string;
  out?: string;
  force: boolean;
}): Promise<Outcome> {
  const tables = curveTables(readResults(diskFile(resultsFile), { sha256 }));
  const folder = out ?? join(dirname(resultsFile), DEFAULT_OUT);
  writeTogether({
    folder,
    files: Object.fromEntries(tables.map(({ fileName, pieces }) => [fileName, pieces])),
    force,
  });
  const files = tables.map(({ fileName }) => join(folder, fileName));
  return { text: ['Curves as tables:', ...files.map((file) => `  ${file}`)].join('\n'), data: { files } };
}
