import type { Check } from '../../../src/model/check.ts';
import { SteptoneError } from '../../../src/model/errors.ts';
import { recordingKindOf } from '../../../src/model/recording-kind.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import { settingsInOrder } from '../../../src/model/setting-range.ts';
import { benchGroups, OPEN_SETTING } from '../../../src/tones/bench-sheet/bench-groups.ts';
import { type Take, takeList } from '../../../src/tones/bench-sheet/take-list.ts';
import { labelOf } from '../forms/labels.ts';
import { missingIn, wrongIn } from '../forms/written.ts';
import { writtenSession } from '../job-view.ts';
import { AFTER_INSTALL, OUT } from '../keep/folders.ts';
import { type Job, pathIn } from '../keep/job.ts';
import { equipmentForm } from './equipment-form.ts';

export const STEPS = [
  ['car', 'Car and parts'],
  ['stick', 'Stick'],
  ['screen', 'Screen by phone'],
  ['record', 'Record'],
  ['check', 'Check'],
  ['report', 'Report and sheets'],
  ['dial-in', 'Dial in'],
  ['prove', 'Prove'],
] as const;
export type StepId = (typeof STEPS)[number][0];

export interface StepState {
  readonly done: boolean;
  /** What is done, or what is missing, in a few words. */
  readonly words: string;
  /** What to do next here; null where nothing has to be. */
  readonly next: string | null;
}

/** What is kept of a check or an analysis: what came of it, and of which files. */
export interface Kept {
  readonly stamp: string;
  readonly text: string;
}

/** Where every step of the job stands. */
export function stepStates(job: Job): Readonly<Record<StepId, StepState>> {
  return {
    car: carState(job),
    stick: stickState(job),
    screen: screenState(job),
    record: recordState(job),
    check: checkState(job),
    report: reportState(job),
    'dial-in': dialInState(job),
    prove: proofState(job),
  };
}

function carState(job: Job): StepState {
  const written = writtenSession(job);
  const parts = equipmentForm(job).written;
  const session = written.value as SessionInput;
  const isOwnFile = session.equipment == null;
  const wrong =
    wrongIn(written).length +
    (isOwnFile ? wrongIn(parts).length : 0) +
    [written.notReadable, isOwnFile ? parts.notReadable : null].filter((one) => one !== null).length;
  if (wrong > 0) return state(false, `${wrong} to put right`, 'Put right what is marked');
  const toFill = [
    ...(session.settings === undefined ? ['volume settings'] : []),
    ...(session.taps === undefined && session.channels === undefined ? ['outputs'] : []),
    ...missingIn(written)
      .filter((path) => path.includes('.') && !path.startsWith('equipment.'))
      .map((path) => labelOf(path.replace(/^.*\./, '')).label.toLowerCase()),
    ...(missingIn(parts).length > 0 ? ['what the parts need'] : []),
  ];
  return toFill.length > 0
    ? state(false, `missing: ${toFill.join(', ')}`, `Fill in ${toFill.join(' and ')}`)
    : state(true, String(session.name ?? 'filled in'), null);
}

function stickState(job: Job): StepState {
  if (job.noted<boolean>('stick-written')) return state(true, 'written', null);
  const recorded = job.recordings().length > 0;
  return state(recorded, recorded ? 'recordings are there' : 'not written yet', 'Write the test files');
}

function screenState(job: Job): StepState {
  const screened = job.noted<Kept>('screening') !== undefined;
  return state(screened, screened ? 'done' : 'optional', null);
}

function recordState(job: Job): StepState {
  const count = job.recordings().length;
  if (count === 0) return state(false, 'no recordings yet', 'Record the first take, or drop recordings');
  const takes = takesOf(job);
  const [open] = takes.filter(
    ({ file, play }) =>
      play === 'full track' &&
      recordingKindOf(file) === 'takes' &&
      file !== '' &&
      !file.includes(OPEN_SETTING) &&
      !job.hasTake(file),
  );
  return open !== undefined && !hasOwnNames(job, takes) && checkOf(job)?.mayCloseDash !== true
    ? state(false, `${count} there`, nextTake(open, job.files.has(open.file)))
    : state(true, `${count} recordings`, null);
}

/** The check of the recordings as they are now; null where there is none. */
function checkOf(job: Job): Check | null {
  const checked = job.noted<Kept & { check: Check }>('check');
  return checked?.stamp === job.stamp() ? checked.check : null;
}

function checkState(job: Job): StepState {
  if (job.recordings().length === 0) return state(false, 'nothing to check yet', null);
  const check = checkOf(job);
  if (check === null) {
    const words = job.noted<Kept>('check') === undefined ? 'not checked yet' : 'recordings changed since';
    return state(false, words, 'Check the recordings');
  }
  return check.mayCloseDash
    ? state(true, 'you may close the dash', null)
    : state(false, 'keep the dash open', 'See what to record next');
}

function reportState(job: Job): StepState {
  if (job.recordings().length === 0) return state(false, 'nothing to analyse yet', null);
  if (job.hasReport() && job.noted<Kept>('analysis')?.stamp === job.stamp())
    return state(true, 'report and sheets are there', null);
  const words = job.hasReport() ? 'job changed since' : 'not analysed yet';
  return state(false, words, 'Analyse, and print the sheets');
}

function dialInState(job: Job): StepState {
  if (job.noted<boolean>('dialled-in')) return state(true, 'gains are set', null);
  return job.hasReport()
    ? state(false, 'gains to set', 'Set the gains down the dial-in sheet')
    : state(false, 'needs the report', null);
}

function proofState(job: Job): StepState {
  const next = job.hasReport() ? 'Record once more behind the amplifier, and prove it' : null;
  if (!job.files.has(`${AFTER_INSTALL}/${OUT}/verify.html`)) return state(false, 'not proved yet', next);
  const proof = job.noted<Kept & { passes: boolean }>('proof');
  if (proof === undefined) return state(true, 'a proof is there', next);
  return proof.passes ? state(true, 'as planned', next) : state(false, 'not as planned', next);
}

/** The one thing to do next. */
export function nextStep(states: Readonly<Record<StepId, StepState>>): { id: StepId; words: string } | null {
  for (const [id] of STEPS) {
    const { done, next } = states[id];
    if (!done && next !== null) return { id, words: next };
  }
  return null;
}

/** The take list of a session as far as it can be read. */
export function takesOf(job: Job, inside = ''): readonly Take[] {
  const session = writtenSession(job, inside).value as SessionInput;
  try {
    const settings = settingsInOrder({ given: session.settings ?? [], where: 'settings' });
    return takeList(settings, benchGroups(session), session.otherSource);
  } catch (error) {
    if (error instanceof SteptoneError || error instanceof TypeError) return [];
    throw error;
  }
}

/** Takes of a list that have a name, each file once. */
export function namedTakes(takes: readonly Take[]): Take[] {
  return takes.filter(({ file }, i) => file !== '' && takes.findIndex((other) => other.file === file) === i);
}

/** Whether there are takes under names of the recorder's own: the check then says which are missing. */
function hasOwnNames(job: Job, takes: readonly Take[]): boolean {
  const isListed = (name: string) =>
    takes.some(({ file }) => {
      const [start, end] = file.split(OPEN_SETTING);
      return end === undefined ? file === name : name.startsWith(start) && name.endsWith(end);
    });
  return job.recordings().some((name) => recordingKindOf(name) === 'takes' && !isListed(name));
}

function nextTake({ file, setting }: Take, isThere: boolean): string {
  return `Record ${file}${isThere ? ' again' : ''}, volume at ${setting}`;
}

/** The next take down the list that is not there yet; one before it where none is left. */
export function takeAfter(
  { job, inside, file }: { job: Job; inside: string; file: string },
  takes: readonly Take[],
): Take | null {
  const at = takes.findIndex((take) => take.file === file) + 1;
  const inOrder = [...takes.slice(at), ...takes.slice(0, at)];
  return (
    inOrder.find((take) => !take.file.includes(OPEN_SETTING) && !job.hasTake(pathIn(inside, take.file))) ??
    null
  );
}

function state(done: boolean, words: string, next: string | null): StepState {
  return { done, words, next: done ? null : next };
}
