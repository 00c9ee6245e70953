import { join } from 'node:path';
import { createInterface } from 'node:readline/promises';
import { stringify } from 'yaml';
import { SteptoneError } from '../src/model/errors.ts';
import { NEW_SESSION_DEFAULTS, type NewSessionAnswers, newSession } from '../src/model/new-session.ts';
import type { SessionInput } from '../src/model/session-input.ts';
import { benchSheet } from '../src/tones/bench-sheet.ts';
import { TRACK_RATES_HZ } from '../src/tones/render-track.ts';
import { stickFiles } from '../src/tones/stick-files.ts';
import type { Outcome } from './outcome.ts';
import { checkTargets, writeTogether } from './write-together.ts';

/** Puts a question to a person; null where none sits there. */
export type Ask = ((question: string) => Promise<string>) | null;

export interface NewArguments extends Partial<NewSessionAnswers> {
  readonly folder: string;
}

const SESSION = 'session.yaml';
const BENCH_SHEET = 'steptone-bench-sheet.html';

const QUESTIONS: readonly { field: keyof NewSessionAnswers; text: string }[] = [
  { field: 'name', text: 'Which car and radio is it?' },
  { field: 'settings', text: 'Which volume settings will you record? From-to/step, such as 10-38/4' },
  {
    field: 'taps',
    text: 'Which outputs? With commas, such as front-left, front-right, rear-left, rear-right',
  },
  { field: 'channels', text: 'How many channels has the recorder?' },
  {
    field: 'calibration',
    text: 'Pad ratio and full-scale volts RMS of the recorder, such as 11, 1.4, or none',
  },
];

/**
 * Writes the session file and the bench sheet of a job into a folder. What was not given is asked; where nobody can be
 * asked, what has a default takes it.
 *
 * @throws SteptoneError 'would-overwrite' before anything is asked; 'usage' where settings or taps are missing and nobody
 *   can be asked; as `newSession` does for a flag that cannot be read
 */
export async function newCommand({ folder, ...given }: NewArguments, ask: Ask): Promise<Outcome> {
  checkTargets({ folder, names: [SESSION, BENCH_SHEET], force: false });
  const session = await answered(given, ask);
  const files = {
    [SESSION]: `# Written by steptone new; 'steptone schema session' describes every field.\n${stringify(session)}`,
    [BENCH_SHEET]: benchSheet({ session, files: TRACK_RATES_HZ.flatMap(stickFiles) }),
  };
  writeTogether({ folder, files, force: false });
  return {
    text: [
      `Session: ${join(folder, SESSION)}`,
      `Sheet to print: ${join(folder, BENCH_SHEET)}`,
      ...namesToUse(session),
      `Next: steptone tones STICK, record, then steptone check ${folder}`,
    ].join('\n'),
    data: { session: join(folder, SESSION), benchSheet: join(folder, BENCH_SHEET), content: session },
  };
}

/** Asks on the terminal; null where standard input or the place for questions is none. */
export async function withTerminal<Answer>(work: (ask: Ask) => Promise<Answer>): Promise<Answer> {
  if (!process.stdin.isTTY || !process.stderr.isTTY) return work(null);
  const lines = createInterface({ input: process.stdin, output: process.stderr });
  try {
    return await work(
      (question) =>
        new Promise((resolve, reject) => {
          lines.once('close', () => reject(stopped()));
          lines.question(question).then(resolve, reject);
        }),
    );
  } finally {
    lines.close();
  }
}

async function answered(given: Partial<NewSessionAnswers>, ask: Ask): Promise<SessionInput> {
  const answers: Record<keyof NewSessionAnswers, string> = {
    settings: '',
    taps: '',
    ...NEW_SESSION_DEFAULTS,
    ...defined(given),
  };
  for (const { field, text } of QUESTIONS) {
    if (given[field] !== undefined) continue;
    const usual = answers[field];
    if (ask === null) {
      if (usual === '') throw missing(field);
      continue;
    }
    answers[field] = await understood(field, async () => {
      const answer = await ask(`${text}${usual === '' ? '' : ` [${usual}]`}: `);
      return answer.trim() || usual;
    });
  }
  return newSession(answers);
}

/** Asks again until the answer can be read: one slip must not cost the four others. */
async function understood(field: keyof NewSessionAnswers, ask: () => Promise<string>): Promise<string> {
  for (let hint = ''; ; ) {
    const answer = await ask();
    try {
      newSession({ ...READABLE, [field]: answer });
      return answer;
    } catch (error) {
      if (!(error instanceof SteptoneError) || hint === error.message) throw error;
      hint = error.message;
      process.stderr.write(`${hint}\n`);
    }
  }
}

const READABLE: NewSessionAnswers = { ...NEW_SESSION_DEFAULTS, settings: '10', taps: 'a' };

function defined(given: Partial<NewSessionAnswers>): Partial<NewSessionAnswers> {
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined));
}

function namesToUse({ recordings }: SessionInput): string[] {
  if (recordings === undefined) return ['Name the files by their setting: setting-10.wav'];
  return [
    'Name the files by their setting, such as pair-a-10.wav:',
    ...recordings.map((entry) =>
      typeof entry === 'string' ? `  ${entry}` : `  ${entry.file}  channels: ${entry.channels?.join(', ')}`,
    ),
  ];
}

function stopped(): SteptoneError {
  return new SteptoneError({
    code: 'usage',
    expected: 'an answer',
    found: 'the end of the input',
    where: 'steptone new',
    nextStep: 'begin again; nothing was written',
  });
}

function missing(field: keyof NewSessionAnswers): SteptoneError {
  const example = field === 'settings' ? '10-38/4' : 'front-left,front-right';
  return new SteptoneError({
    code: 'usage',
    expected: `--${field}, as nobody can be asked here`,
    found: 'none',
    where: 'steptone new',
    nextStep: `add --${field} ${example}`,
  });
}
