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

/** Runs the compiled command as users do, in a process of its own, and answers how it ended. */
export function steptone(args: readonly string[], { cwd = root }: { cwd?: string } = {}): Promise<Ended> {
  if (!existsSync(main)) throw new Error("not built: run 'npm run build' first, as 'npm test' does");
  return new Promise((done) => {
    const child = execFile(
      process.execPath,
      [main, ...args],
      { cwd, maxBuffer: 1 << 26, timeout: 60_000, encoding: 'utf8' },
      (_, stdout, stderr) => done({ status: child.exitCode ?? -1, stdout, stderr }),
    );
  });
}
