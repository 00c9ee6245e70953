import type { Progress } from '../src/commands/progress.ts';
import type { Shell } from '../src/commands/shell.ts';
import { toolVersion } from './package-folder.ts';
import { readAhead } from './read-ahead.ts';
import { readReportAssets } from './report-assets.ts';
import { sha256 } from './sha256.ts';

/** The terminal's side of a command. */
export function terminalShell(progress: Progress): Shell {
  return {
    toolVersion: toolVersion(),
    sha256,
    progress,
    readAhead: (of) => readAhead({ ...of, progress }),
    reportAssets: readReportAssets,
  };
}
