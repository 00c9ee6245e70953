import { SteptoneError } from './errors.ts';
import { described } from './field-fault.ts';
import type { FieldPath } from './field-path.ts';
import { fitsPattern } from './fits-pattern.ts';
import type { Reason } from './reason.ts';
import { engineOf, otherSourceOf, recordingKindOf, settingInName } from './recording-kind.ts';
import { resolveChannels } from './resolve-channels.ts';
import { isSeatKind, type Recording, type RecordingKind, type Tap } from './session.ts';
import type { RecordingInput, SessionInput } from './session-input.ts';
import { settingsInOrder } from './setting-range.ts';
import { naturalOrder, type SettingsOfFiles, settingsOfFiles } from './settings-of-files.ts';

interface Context {
  readonly input: SessionInput;
  readonly taps: readonly Tap[];
  /** Settings of the session in the order written; empty where it has none of its own. */
  readonly settings: readonly number[];
  readonly folderFiles: readonly string[];
  readonly locate: (path: FieldPath) => string;
}

/** A recording whose settings may still have to be read from the file names of its group. */
interface Entry {
  readonly file: string;
  readonly channels: readonly (string | null)[];
  readonly kind: RecordingKind;
  readonly supplyVolts: number | null;
  /** Engine of a noise take; what played a take of another source. */
  readonly more: Pick<Recording, 'engine' | 'rpm' | 'source'>;
  readonly ownSettings: readonly number[] | null;
  /** Files of one pattern, or of one channel list, are told apart by their settings together. */
  readonly group: string;
  readonly where: string;
}

/** What plays where nobody says otherwise. */
export const DEFAULT_SOURCE = 'USB stick';
export const WAV_NAME = /\.(wav|wave|bwf|rf64)$/i;
/** The test files themselves, which may lie beside what was recorded of them. */
const STICK_FILE_NAME = /^steptone-/i;

/**
 * The recordings of a session: those listed, patterns unfolded, or all WAV files of the folder where no take is listed.
 * Files whose names say that they are no takes (noise-idle.wav, loop.wav, seat-sub.wav) need not be listed.
 *
 * @throws SteptoneError `no-recordings`, `file-missing` (a pattern that fits no file, and nothing else is listed), `unknown-tap`, `session-field`, `settings`.
 */
export function resolveRecordings(context: Context): { recordings: Recording[]; doubts: Reason[] } {
  const given = (context.input.recordings ?? []).map((entry, i) => ({
    pattern: typeof entry === 'string' ? entry : entry.file,
    where: context.locate(['recordings', i]),
    entries: unfold({ given: entry, context, path: ['recordings', i] }),
  }));
  const listed = given.flatMap(({ entries }) => entries);
  const hasTakes = listed.some((entry) => entry.kind === 'takes');
  const unmet = given.filter(({ entries }) => entries.length === 0);
  // Other files of the folder are not what the pattern asked for.
  if (unmet.length > 0 && !hasTakes) throw patternUnmet(unmet[0], context);
  const others = folderEntries({ context, listed });
  const entries = [...listed, ...(hasTakes ? others.filter(({ kind }) => kind !== 'takes') : others)];
  if (!entries.some((entry) => entry.kind === 'takes')) throw nothingRecorded(context);
  rejectRepeatedFiles(entries);

  const open = entries.filter(({ kind, ownSettings }) => kind === 'takes' && ownSettings === null);
  const matches = [...new Set(open.map(({ group }) => group))].map((name) => {
    const group = open.filter((entry) => entry.group === name);
    if (context.settings.length === 0) throw noSettings(context);
    return settingsOfFiles({
      files: group.map(({ file }) => file),
      settings: context.settings,
      where: group[0].where,
    });
  });
  const settingsByFile = new Map(
    matches.flatMap(({ files }) => files).map(({ file, settings }) => [file, settings]),
  );
  const recordings = entries.map(({ file, channels, kind, supplyVolts, more, ownSettings }) => ({
    file,
    channels,
    kind,
    supplyVolts,
    settings:
      kind === 'takes'
        ? (ownSettings ?? settingsByFile.get(file) ?? [])
        : kind === 'noise'
          ? (ownSettings ?? []).slice(0, 1)
          : kind === 'other source'
            ? (ownSettings ?? settingInName(file) ?? context.settings)
            : [],
    ...more,
  }));
  const doubts: Reason[] = [
    ...unmet.map(({ pattern }) => ({ code: 'no file of this name' as const, pattern })),
    ...matches.filter((match) => !recordedElsewhere(match, matches)).flatMap(({ doubt }) => doubt ?? []),
  ];
  return { recordings, doubts };
}

/** The first pair has all settings, the others a few of them: that is how it is planned. */
function recordedElsewhere({ missing }: SettingsOfFiles, matches: readonly SettingsOfFiles[]): boolean {
  const named = matches.flatMap(({ files }) => files.flatMap(({ settings }) => settings));
  return missing.length > 0 && missing.every((setting) => named.includes(setting));
}

function unfold({
  given,
  context,
  path,
}: {
  given: string | RecordingInput;
  context: Context;
  path: FieldPath;
}): Entry[] {
  const form: RecordingInput = typeof given === 'string' ? { file: given } : given;
  const settingsGiven = form.settings ?? form.setting;
  const own =
    settingsGiven === undefined
      ? null
      : settingsInOrder({
          given: settingsGiven,
          where: context.locate([...path, form.settings === undefined ? 'setting' : 'settings']),
        });
  const where = context.locate(path);
  const entryFor = (file: string): Omit<Entry, 'ownSettings' | 'group'> => {
    const kind = form.kind ?? kindOf({ file, source: form.source, input: context.input });
    return {
      file,
      kind,
      channels: isSeatKind(kind)
        ? (form.channels ?? [MICROPHONE])
        : resolveChannels({ form, ...context, path }),
      supplyVolts: form.supplyVolts ?? context.input.supply?.volts ?? null,
      more:
        kind === 'noise'
          ? noiseFields(form, file)
          : kind === 'other source'
            ? { source: form.source ?? otherSourceOf(file) ?? context.input.otherSource ?? UNNAMED_SOURCE }
            : {},
      where,
    };
  };
  if (!/[*?]/.test(form.file)) {
    const entry = entryFor(form.file);
    return [{ ...entry, ownSettings: own, group: entry.channels.join('\n') }];
  }

  const files = naturalOrder(context.folderFiles.filter((file) => fitsPattern(form.file, file)));
  const matched =
    own === null || files.length === 0 ? null : settingsOfFiles({ files, settings: own, where });
  return files.map((file) => ({
    ...entryFor(file),
    ownSettings: matched?.files.find((match) => match.file === file)?.settings ?? null,
    group: `pattern ${form.file}`,
  }));
}

function folderEntries({ context, listed }: { context: Context; listed: readonly Entry[] }): Entry[] {
  const { calibration } = context.input;
  const toneFile =
    typeof calibration === 'object' && calibration.kind === 'tone' ? calibration.file : undefined;
  const spoken = new Set([toneFile, ...listed.map(({ file }) => file)]);
  // What is no take is recorded on the first pair.
  const channels = listed.find(({ kind }) => kind === 'takes')?.channels;
  return naturalOrder(wavNames(context))
    .filter((file) => !spoken.has(file))
    .flatMap((file) => {
      const known = isSeatKind(recordingKindOf(file)) ? undefined : channels;
      const form = known === undefined ? { file } : { file, channels: [...known] };
      return unfold({ given: form, context, path: [] });
    });
}

function wavNames({ folderFiles }: Context): string[] {
  const isRecording = (file: string) =>
    WAV_NAME.test(file) && !STICK_FILE_NAME.test(file) && !/^\.|\//.test(file);
  return folderFiles.filter(isRecording);
}

/** What stands on the first channel of a take at the seat. */
const MICROPHONE = 'microphone';

const UNNAMED_SOURCE = 'another source';

/** Played from something else than the rest: no take that findings rest on. */
function kindOf(of: { file: string; source: string | undefined; input: SessionInput }): RecordingKind {
  const { file, source, input } = of;
  const isOther = source !== undefined && source !== (input.source ?? DEFAULT_SOURCE);
  return isOther ? 'other source' : recordingKindOf(file);
}

function noiseFields({ engine, rpm }: RecordingInput, file: string): Pick<Recording, 'engine' | 'rpm'> {
  return { engine: engine ?? engineOf(file), ...(rpm === undefined ? {} : { rpm }) };
}

function rejectRepeatedFiles(entries: readonly Entry[]): void {
  entries.forEach((entry, i) => {
    if (entries.findIndex(({ file }) => file === entry.file) === i) return;
    throw new SteptoneError({
      code: 'session-field',
      expected: 'each file once',
      found: `'${entry.file}' twice`,
      where: entry.where,
      nextStep: 'put all settings of a file into one entry, and write patterns that fit it only once',
    });
  });
}

function patternUnmet(
  { pattern, where }: { pattern: string; where: string },
  context: Context,
): SteptoneError {
  const present = wavNames(context).slice(0, 4);
  return new SteptoneError({
    code: 'file-missing',
    expected: `files named like ${described(pattern)}`,
    found: 'none',
    where,
    nextStep: `compare the pattern with the names of your files${present.length === 0 ? '' : `: ${present.join(', ')}`}`,
  });
}

function nothingRecorded({ folderFiles, locate }: Context): SteptoneError {
  return new SteptoneError({
    code: 'no-recordings',
    expected: 'at least one WAV recording of the test track',
    found:
      folderFiles.length === 0
        ? 'an empty folder'
        : `none among ${folderFiles.length} ${folderFiles.length === 1 ? 'file' : 'files'}`,
    where: locate([]),
    nextStep: 'put the recordings beside the session file, or name their folder',
  });
}

function noSettings({ locate }: Context): SteptoneError {
  return new SteptoneError({
    code: 'settings',
    expected: 'the volume settings that you recorded',
    found: 'none',
    where: locate([]),
    nextStep: 'write settings: 10-38/4 into the session, or add --settings 10-38/4 to the command',
  });
}
