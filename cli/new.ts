import { join } from 'node:path';
import {
  BENCH_SHEET_FILE,
  FIRST_ESTIMATE_FILE,
  newJobFiles,
  openTaps,
  SESSION_FILE,
} from '../src/commands/new-job.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { NEW_SESSION_DEFAULTS, type NewSessionAnswers, newSession } from '../src/model/new-session.ts';
import type { SessionInput } from '../src/model/session-input.ts';
import type { Person } from './ask.ts';
import { checkTargets } from './check-targets.ts';
import type { Outcome } from './outcome.ts';
import { writeTogether } from './write-together.ts';

export interface NewArguments extends Partial<NewSessionAnswers> {
  readonly folder: string;
}

/** `recorder` is answered in one line: channels, then the pad. */
type Question = Exclude<keyof NewSessionAnswers, 'channels' | 'calibration'> | 'recorder';

const QUESTIONS: readonly { field: Question; text: string }[] = [
  { field: 'name', text: 'Which car and radio?' },
  { field: 'settings', text: 'Which volume settings will you record? From-to/step, such as 10-38/4' },
  {
    field: 'taps',
    text: 'Which outputs? Names with commas between, such as front-left, front-right, rear-left, rear-right',
  },
  { field: 'level', text: 'Speaker level or line level? speaker, line, or not known' },
  {
    field: 'recorder',
    text: 'Recorder: channels, pad ratio, full-scale volts RMS, such as 2, 11, 1.4; or the channels alone',
  },
];

/**
 * Writes the session file, the bench sheet and the estimate sheet of a job into a folder. What was not given is asked;
 * where nobody can be asked, what has a default takes it.
 *
 * @throws SteptoneError 'would-overwrite' before anything is asked; 'usage' where settings or taps are missing and nobody
 *   can be asked; as `newSession` does for a flag that cannot be read
 */
export async function newCommand(
  { folder, ...given }: NewArguments,
  person: Person | null,
): Promise<Outcome> {
  checkTargets({ folder, names: [SESSION_FILE, BENCH_SHEET_FILE, FIRST_ESTIMATE_FILE] });
  const session = await answered(given, person);
  writeTogether({ folder, files: newJobFiles(session) });
  return {
    text: [
      `Session: ${join(folder, SESSION_FILE)}`,
      `Bench sheet to print: ${join(folder, BENCH_SHEET_FILE)}`,
      `Estimate for the customer: ${join(folder, FIRST_ESTIMATE_FILE)}`,
      ...namesToUse(session),
      ...openTaps(session),
      `Next: steptone tones STICK --session ${folder}, record, then steptone check ${folder}`,
    ].join('\n'),
    data: {
      session: join(folder, SESSION_FILE),
      benchSheet: join(folder, BENCH_SHEET_FILE),
      estimateSheet: join(folder, FIRST_ESTIMATE_FILE),
      content: session,
    },
  };
}

async function answered(given: Partial<NewSessionAnswers>, person: Person | null): Promise<SessionInput> {
  const answers: Record<keyof NewSessionAnswers, string> = {
    settings: '',
    taps: '',
    ...NEW_SESSION_DEFAULTS,
    ...defined(given),
  };
  const open = QUESTIONS.filter(({ field }) => partsOf(field).some((part) => given[part] === undefined));
  if (open.length > 0) person?.tell(HOW_TO_ANSWER);
  for (const { field, text } of open) {
    if (person === null) {
      if (field !== 'level' && partsOf(field).every((part) => answers[part] === '')) throw missing(field);
      continue;
    }
    const told = await understood({ field, text, usual: usualOf(field, answers) }, person);
    Object.assign(answers, told, defined(given));
  }
  return newSession(answers);
}

function partsOf(field: Question): readonly (keyof NewSessionAnswers)[] {
  return field === 'recorder' ? ['channels', 'calibration'] : [field];
}

function usualOf(field: Question, answers: NewSessionAnswers): string {
  if (field === 'level') return 'speaker';
  return field === 'recorder' ? answers.channels : answers[field];
}

/** "2, 11, 1.4": the channels stand first, what follows is the pad. */
function readAs(field: Question, answer: string): Partial<NewSessionAnswers> {
  if (field !== 'recorder') return { [field]: answer };
  const [, channels, calibration] = /^\s*([^\s,;]*)[\s,;]*(.*)$/.exec(answer)!;
  return { channels, calibration: calibration === '' ? NEW_SESSION_DEFAULTS.calibration : calibration };
}

const HOW_TO_ANSWER =
  'Press Enter to take the answer in brackets. Ctrl-C stops; Steptone then writes nothing.';

/** Asks again until the answer can be read: one slip must not cost the four others. */
async function understood(
  { field, text, usual }: { field: Question; text: string; usual: string },
  { ask, tell }: Person,
): Promise<Partial<NewSessionAnswers>> {
  for (;;) {
    const answer = (await ask(`${text}${usual === '' ? '' : ` [${usual}]`}: `)).trim() || usual;
    const told = readAs(field, answer);
    try {
      newSession({ ...READABLE, ...told });
      return told;
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
      const { expected, found, nextStep } = error.parts;
      tell(`  Expected ${expected}, found ${found}. Next: ${nextStep}.`);
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

function missing(field: Question): SteptoneError {
  const example = field === 'settings' ? '10-38/4' : 'front-left,front-right';
  return new SteptoneError({
    code: 'usage',
    expected: `--${field}, because nobody is here to answer`,
    found: 'none',
    where: 'steptone new',
    nextStep: `add --${field} ${example}`,
  });
}
