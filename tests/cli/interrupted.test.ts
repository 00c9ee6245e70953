import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, expect, it } from 'vitest';

const compiled = resolve(import.meta.dirname, '../../dist/cli');
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-interrupted-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

/** What POSIX shells show for a process that a signal ended: 128 and its number. */
const STATUS = { SIGINT: 130, SIGTERM: 143 } as const;

it.each(['SIGINT', 'SIGTERM'] as const)(
  '%s while a file is being written: the file is whole, the next one is not begun, and the status is the usual one.',
  async (signal) => {
    // The process sends the signal to itself in the middle of the writing: a file whose content is asked for then.
    const script = join(folder, 'write.mjs');
    const out = join(folder, 'out');
    writeFileSync(
      script,
      `import { writeTogether } from ${JSON.stringify(pathToFileURL(join(compiled, 'write-together.js')).href)};
import { hearSignals } from ${JSON.stringify(pathToFileURL(join(compiled, 'hold-signals.js')).href)};
const files = { 'first.txt': 'whole', get 'second.txt'() { process.kill(process.pid, '${signal}'); return 'too'; } };
writeTogether({ folder: ${JSON.stringify(out)}, files });
await hearSignals();
writeTogether({ folder: ${JSON.stringify(out)}, files: { 'third.txt': 'not begun' } });
`,
    );
    expect(await statusOf(spawn(process.execPath, [script]))).toBe(STATUS[signal]);
    expect(readdirSync(out).sort()).toEqual(['first.txt', 'second.txt']);
    expect(readFileSync(join(out, 'second.txt'), 'utf8')).toBe('too');
  },
);

it.each(['SIGINT', 'SIGTERM'] as const)(
  '%s while the test files are being written ends the command, and leaves nothing of them.',
  async (signal) => {
    const child = spawn(process.execPath, [join(compiled, 'main.js'), 'tones', join(folder, 'stick', 'car')]);
    const ended = statusOf(child);
    await firstFile(child);
    child.kill(signal);
    expect(await ended).toBe(STATUS[signal]);
    expect(readdirSync(folder)).toEqual([]);
  },
);

function statusOf(child: ChildProcess): Promise<number | null> {
  return new Promise((done) => {
    child.on('exit', (code, signal) => done(code ?? STATUS[signal as keyof typeof STATUS] ?? null));
  });
}

async function firstFile(child: ChildProcess): Promise<void> {
  while (child.exitCode === null && readdirSync(folder).length === 0)
    await new Promise((soon) => setTimeout(soon, 5));
}
