import type { Progress } from '../src/commands/progress.ts';

interface Terminal {
  out(text: string): void;
  error(text: string): void;
  /** A line on the terminal that is written over; nothing where no person looks at it. */
  progress: Progress;
}

export interface Streams {
  readonly stdout: { write(text: string): unknown };
  readonly stderr: { write(text: string): unknown; readonly isTTY?: boolean; readonly columns?: number };
}

/** Colours 31 and 39 of ECMA-48: red letters, and the terminal's own. */
const RED = '\u001b[31m';
const PLAIN = '\u001b[39m';

/** Work that is over sooner needs no progress line (common practice: a second is felt as waiting). */
const PROGRESS_AFTER_MILLISECONDS = 1000;

/** The real terminal. Progress is shown only where standard error is one; colour only where NO_COLOR does not forbid it. */
export function openTerminal({ quiet }: { quiet: boolean }, streams: Streams = process): Terminal {
  const { stdout, stderr } = streams;
  const shown = stderr.isTTY && !quiet;
  const started = Date.now();
  let lineIsOpen = false;
  let line = '';
  let timer: NodeJS.Timeout | undefined;
  const showLine = () => {
    stderr.write(`\r\u001b[K${line.slice(0, (stderr.columns || 80) - 1)}`);
    lineIsOpen = true;
  };
  const closeLine = () => {
    clearTimeout(timer);
    if (lineIsOpen) stderr.write('\r\u001b[K');
    lineIsOpen = false;
  };
  return {
    out(text) {
      closeLine();
      stdout.write(endedLine(text));
    },
    error(text) {
      closeLine();
      const [first, ...rest] = text.split('\n');
      stderr.write(endedLine([colour(first), ...rest].join('\n')));
    },
    progress(done, total, what) {
      if (!shown) return;
      line = `${total > 0 ? Math.round((100 * done) / total) : 0} % ${what}`;
      const wait = started + PROGRESS_AFTER_MILLISECONDS - Date.now();
      if (wait <= 0) showLine();
      // The next step may be long in coming, where others do the work.
      else timer ??= setTimeout(showLine, wait).unref();
    },
  };

  function colour(text: string): string {
    return stderr.isTTY && !process.env.NO_COLOR ? `${RED}${text}${PLAIN}` : text;
  }
}

function endedLine(text: string): string {
  return text.endsWith('\n') ? text : `${text}\n`;
}
