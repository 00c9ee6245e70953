import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';

const root = resolve(import.meta.dirname, '../..');
const main = join(root, 'dist/cli/main.js');

export interface Ended {
  readonly status: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** Just before the test itself is given up: a command that hangs hangs for ever, a busy machine only takes its time. */
const HANGS_AFTER_SECONDS = 110;

/** Loaded before the command; writes what it used to the file that is named. */
const reportUsage = ['--import', join(root, 'tests/bench/report-usage.js')];

/**
 * Runs the compiled command as users do, in a process of its own, and answers how it ended.
 *
 * @param usageFile gets what the process used, as `tests/bench/report-usage.js` writes it
 */
export function steptone(
  args: readonly string[],
  {
    cwd = root,
    usageFile,
    timeoutSeconds = HANGS_AFTER_SECONDS,
  }: { cwd?: string; usageFile?: string; timeoutSeconds?: number } = {},
): Promise<Ended> {
  if (!existsSync(main)) throw new Error("not built: run 'npm run build' first, as 'npm test' does");
  return new Promise((done) => {
    const child = execFile(
      process.execPath,
      [...(usageFile === undefined ? [] : reportUsage), main, ...args],
      {
        cwd,
        maxBuffer: 1 << 26,
        timeout: 1000 * timeoutSeconds,
        encoding: 'utf8',
        ...(usageFile === undefined ? {} : { env: { ...process.env, STEPTONE_BENCH_USAGE: usageFile } }),
      },
      (_, stdout, stderr) => done({ status: child.exitCode ?? -1, stdout, stderr }),
    );
  });
}
