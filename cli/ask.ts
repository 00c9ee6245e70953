import { createInterface } from 'node:readline/promises';
import { SteptoneError } from '../src/model/errors.ts';

/** What talks with the person at the terminal. */
export interface Person {
  /** Puts a question; answers what was typed. */
  readonly ask: (question: string) => Promise<string>;
  readonly tell: (text: string) => void;
}

/**
 * Does work that may ask on the terminal; `null` stands for nobody, where standard input or the place for questions is no
 * terminal.
 *
 * @throws SteptoneError 'usage' where the person stops (Ctrl-C, Ctrl-D) instead of answering
 */
export async function withPerson<Answer>(work: (person: Person | null) => Promise<Answer>): Promise<Answer> {
  const { stdin, stderr } = process;
  if (!stdin.isTTY || !stderr.isTTY) return work(null);
  const lines = createInterface({ input: stdin, output: stderr });
  const closed = new Promise<never>((_, reject) => {
    lines.once('close', () => reject(stopped()));
  });
  closed.catch(() => {}); // it also closes when all is done
  try {
    return await work({
      ask: (question) => Promise.race([lines.question(question), closed]),
      tell: (text) => stderr.write(`${text}\n`),
    });
  } finally {
    lines.close();
  }
}

function stopped(): SteptoneError {
  process.stderr.write('\n'); // the question's line is still open
  return new SteptoneError({
    code: 'usage',
    expected: 'an answer',
    found: 'the end of the input',
    where: 'steptone new',
    nextStep: 'start again; Steptone wrote nothing',
  });
}
