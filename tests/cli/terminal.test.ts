import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openTerminal } from '../../cli/terminal.ts';

function streams({ isTTY }: { isTTY: boolean }) {
  const written = { out: '', error: '' };
  return {
    written,
    stdout: { write: (text: string) => (written.out += text) },
    stderr: { write: (text: string) => (written.error += text), isTTY, columns: 40 },
  };
}

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllEnvs();
});

describe('the terminal', () => {
  it('Progress is shown on a terminal once the work takes over a second, within its width, and cleared by what follows.', () => {
    const io = streams({ isTTY: true });
    const terminal = openTerminal({ quiet: false }, io);
    terminal.progress(1, 4, 'quick work');
    expect(io.written.error).toBe('');
    vi.advanceTimersByTime(1500);
    terminal.progress(2, 4, 'a file with a long name '.repeat(9));
    expect(io.written.error).toContain('50 % a file');
    expect(io.written.error.split('\r').at(-1)?.length).toBeLessThan(50);
    terminal.out('done');
    expect(io.written.error.endsWith('\r\u001b[K')).toBe(true);
    expect(io.written.out).toBe('done\n');
  });

  it('Progress that was told once is shown after a second, though nothing more is told; not after the end.', () => {
    const io = streams({ isTTY: true });
    const terminal = openTerminal({ quiet: false }, io);
    terminal.progress(0, 4, 'long work');
    vi.advanceTimersByTime(999);
    expect(io.written.error).toBe('');
    vi.advanceTimersByTime(2);
    expect(io.written.error).toContain('0 % long work');
    const short = streams({ isTTY: true });
    const other = openTerminal({ quiet: false }, short);
    other.progress(0, 4, 'short work');
    other.out('done');
    vi.advanceTimersByTime(5000);
    expect(short.written.error).toBe('');
  });

  it.each([
    ['where nobody looks', { quiet: false, isTTY: false }],
    ['with --quiet', { quiet: true, isTTY: true }],
  ])('There is no progress %s.', (_, { quiet, isTTY }) => {
    const io = streams({ isTTY });
    const terminal = openTerminal({ quiet }, io);
    vi.advanceTimersByTime(5000);
    terminal.progress(1, 2, 'work');
    expect(io.written.error).toBe('');
  });

  it.each([
    ['a terminal', { isTTY: true, noColor: '' }, true],
    ['a terminal with NO_COLOR', { isTTY: true, noColor: '1' }, false],
    ['a pipe', { isTTY: false, noColor: '' }, false],
  ])('Errors on %s: colour is there or not as it should be.', (_, { isTTY, noColor }, coloured) => {
    vi.stubEnv('NO_COLOR', noColor);
    const io = streams({ isTTY });
    openTerminal({ quiet: false }, io).error('wrong');
    expect(io.written.error.includes('\u001b[')).toBe(coloured);
    expect(io.written.error).toContain('wrong');
  });
});
