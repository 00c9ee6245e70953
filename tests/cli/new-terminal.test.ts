import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { describeWith } from '../outside-programs.ts';

const main = resolve(import.meta.dirname, '../../dist/cli/main.js');
const CTRL_C = '\u0003';
const CTRL_D = '\u0004';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-terminal-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs `steptone new` on a terminal of its own (`script` of util-linux) and types an answer at each question. */
function typed(
  target: string,
  answers: readonly string[],
): Promise<{ status: number | null; shown: string }> {
  const command = `"${process.execPath}" "${main}" new "${target}"`;
  const child = spawn('script', ['-qec', command, '/dev/null']);
  return new Promise((done) => {
    const queue = [...answers];
    let shown = '';
    child.stdout.on('data', (piece) => {
      shown += piece;
      if (isAsked(shown)) type(child, queue);
      shown = shown.replace(QUESTION_OPEN, '$1 ');
    });
    child.on('close', (status) => done({ status, shown }));
  });
}

/** Readline ends a question by placing the cursor behind it. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: that is how a cursor is placed (ECMA-48, CHA)
const QUESTION_OPEN = /(: )\u001b\[\d+G$/;

function isAsked(shown: string): boolean {
  return QUESTION_OPEN.test(shown);
}

function type(child: ChildProcessWithoutNullStreams, queue: string[]): void {
  const answer = queue.shift() ?? CTRL_C;
  child.stdin.write(answer === CTRL_C || answer === CTRL_D ? answer : `${answer}\r`);
}

describeWith(['script'], 'steptone new on a terminal', () => {
  it('asks until it understands, and writes session and sheet.', async () => {
    const target = join(folder, 'job');
    const answers = ['Blue car', '10-37/4', '10-38/4', 'front-left, front-right', '', '2, 11, 1.4'];
    const { status, shown } = await typed(target, answers);
    expect(status).toBe(0);
    expect(shown).toContain('write 10-34/4');
    expect(shown).not.toMatch(/Warning|at file:/);
    expect(readdirSync(target).sort()).toEqual([
      'session.yaml',
      'steptone-bench-sheet.html',
      'steptone-estimate-sheet.html',
    ]);
    const session = readFileSync(join(target, 'session.yaml'), 'utf8');
    for (const text of ['Blue car', '10-38/4', 'front-right', 'padRatio: 11'])
      expect(session).toContain(text);
  });

  it.each([
    ['Ctrl-C', CTRL_C],
    ['Ctrl-D', CTRL_D],
  ])('%s in the middle says so, and leaves nothing behind.', async (_, key) => {
    const target = join(folder, 'stopped');
    const { status, shown } = await typed(target, ['Blue car', '10-38/4', key]);
    expect(status).toBe(2);
    expect(shown).toContain('Steptone wrote nothing');
    expect(existsSync(target)).toBe(false);
  });

  it('bears any number of wrong answers.', async () => {
    const target = join(folder, 'slips');
    const answers = ['', ...Array<string>(15).fill('many'), CTRL_C];
    const { shown } = await typed(target, answers);
    expect(shown.match(/found 'many'/g)).toHaveLength(15);
    expect(shown).not.toContain('Warning');
  });
});
