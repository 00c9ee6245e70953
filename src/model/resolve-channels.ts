import { SteptoneError } from './errors.ts';
import type { FieldPath } from './field-path.ts';
import { wordHint } from './nearest-word.ts';
import { recordingKindOf } from './recording-kind.ts';
import { isSeatKind, type RecordingKind, type Tap } from './session.ts';
import type { RecordingInput, SessionInput } from './session-input.ts';

/** Written for an unused channel, besides null. */
const UNUSED_CHANNEL = '-';
/** Recordings of outputs; what else is recorded is not heard at a tap. */
const NEEDS_TAPS: readonly RecordingKind[] = ['takes', 'noise', 'other source'];

/**
 * The tap on each channel of a recording: its own list, the session's, or the taps in order.
 *
 * @throws SteptoneError `unknown-tap`; `session-field` where a tap stands on two channels.
 */
export function resolveChannels({
  form,
  input,
  taps,
  locate,
  path,
}: {
  form: RecordingInput;
  input: SessionInput;
  taps: readonly Tap[];
  locate: (path: FieldPath) => string;
  path: FieldPath;
}): (string | null)[] {
  const given = form.channels ?? input.channels;
  const where = form.channels === undefined ? ['channels'] : [...path, 'channels'];
  if (given === undefined) return taps.map(({ id }) => id);
  const channels = given.map((name) => (name === UNUSED_CHANNEL ? null : name));
  if (channels.every((name) => name === null) && NEEDS_TAPS.includes(form.kind ?? recordingKindOf(form.file)))
    throw new SteptoneError({
      code: 'session-field',
      expected: 'an output on at least one channel',
      found: 'no channel in use',
      where: locate(where),
      nextStep: 'name the output on each channel: [front-left, front-right]',
    });
  channels.forEach((name, i) => {
    if (name !== null) checkTap({ name, taps: taps, where: locate([...where, i]) });
    if (name !== null && channels.indexOf(name) !== i) {
      throw new SteptoneError({
        code: 'session-field',
        expected: 'each output on one channel',
        found: `'${name}' on channels ${channels.indexOf(name) + 1} and ${i + 1}`,
        where: locate([...where, i]),
        nextStep: 'name the output on this channel, or write null for none',
      });
    }
  });
  return channels;
}

/** @throws SteptoneError `unknown-tap` with the name that was probably meant. */
export function checkTap({ name, taps, where }: { name: string; taps: readonly Tap[]; where: string }): void {
  const words = taps.map(({ id }) => id);
  if (words.includes(name)) return;
  const nextStep = `${wordHint({ written: name, words })}, or add it to taps`;
  throw new SteptoneError({
    code: 'unknown-tap',
    expected: `one of the taps ${words.join(', ')}`,
    found: `'${name}'`,
    where,
    nextStep,
  });
}

/** The taps that the channel lists of a session name, each once; undefined where there is no such list. */
export function namesInChannels(input: SessionInput): string[] | undefined {
  // A microphone at the seat is no tap.
  const recordings = (input.recordings ?? []).map((entry) =>
    typeof entry === 'string' || isSeatKind(entry.kind ?? recordingKindOf(entry.file))
      ? []
      : (entry.channels ?? []),
  );
  const names = [input.channels ?? [], ...recordings]
    .flat()
    .filter((name): name is string => name !== null && name !== UNUSED_CHANNEL);
  return names.length === 0 ? undefined : [...new Set(names)];
}
