import { resolvePhotos } from './bay-notes.ts';
import type { FieldPath } from './field-path.ts';
import { asWritten, type Reason } from './reason.ts';
import { checkTap } from './resolve-channels.ts';
import { DEFAULT_SOURCE, resolveRecordings } from './resolve-recordings.ts';
import { resolveTaps } from './resolve-taps.ts';
import type { Calibration, Recording, Session, Tap } from './session.ts';
import type { SessionInput } from './session-input.ts';
import { settingsInOrder } from './setting-range.ts';

/** Hand meters on AC and 1 % resistor pairs both come to about 2 % (common practice). */
const DEFAULT_TOLERANCE_PERCENT = 2;
/** Most recorders in a bay have two inputs. */
const DEFAULT_CHANNEL_COUNT = 2;
const DEFAULT_NAME = 'Factory outputs';

export interface SessionSurroundings {
  /** Files beside the session, as paths relative to it with forward slashes. */
  readonly folderFiles: readonly string[];
  /** Channels of the recordings; counts only where no taps are named. */
  readonly channelCount?: number | undefined;
  /** Where a field stands, for messages; see `parseSessionFile`. */
  readonly locate?: (path: FieldPath) => string;
}

/**
 * Applies every default of a session: after this, nothing asks whether something was given. What had to be assumed is
 * added to the session's notes.
 *
 * @throws SteptoneError `unknown-tap`, `settings`, `no-recordings`, `file-missing`, `session-field`; each names the field.
 */
export function resolveSession(
  input: SessionInput,
  {
    folderFiles,
    channelCount = DEFAULT_CHANNEL_COUNT,
    locate = (path) => ['session', ...path].join('.'),
  }: SessionSurroundings,
): Session {
  const taps = resolveTaps({ input, channelCount, locate });
  const planned =
    input.settings === undefined
      ? []
      : settingsInOrder({ given: input.settings, where: locate(['settings']) });
  const { recordings, doubts } = resolveRecordings({ input, taps, settings: planned, folderFiles, locate });
  const ofTakes = recordings
    .filter(({ kind }) => kind === 'takes')
    .flatMap((recording) => recording.settings);
  const settings = [...new Set([...planned, ...ofTakes])];
  const reference = referenceTap({ given: input.referenceTapId ?? null, taps, recordings, locate });
  const assumed = [...controlsNote(input.controls), ...doubts, ...reference.doubts];
  return {
    name: input.name ?? DEFAULT_NAME,
    taps,
    settings: settings.sort((a, b) => a - b),
    recordings,
    calibration: resolveCalibration(input.calibration ?? 'none'),
    referenceTapId: reference.tapId,
    source: input.source ?? DEFAULT_SOURCE,
    supply: { volts: input.supply?.volts ?? null, engineRunning: input.supply?.engineRunning ?? null },
    equipment: input.equipment ?? null,
    notes: [...(input.notes ?? []).map(asWritten), ...assumed],
    ...resolvePhotos(input.photos),
  };
}

function resolveCalibration(given: NonNullable<SessionInput['calibration']>): Calibration {
  if (given === 'none' || given.kind === 'none') return { kind: 'none' };
  const tolerancePercent = given.tolerancePercent ?? DEFAULT_TOLERANCE_PERCENT;
  return given.kind === 'pad'
    ? { ...given, tolerancePercent }
    : { ...given, channel: given.channel ?? 1, tolerancePercent };
}

function referenceTap({
  given,
  taps,
  recordings,
  locate,
}: {
  given: string | null;
  taps: readonly Tap[];
  recordings: readonly Recording[];
  locate: (path: FieldPath) => string;
}): { tapId: string | null; doubts: Reason[] } {
  const takes = recordings.filter(({ kind }) => kind === 'takes');
  if (given === null) {
    const common = taps.find(({ id }) => takes.every(({ channels }) => channels.includes(id)));
    return { tapId: common?.id ?? null, doubts: [] };
  }
  checkTap({ name: given, taps, where: locate(['referenceTapId']) });
  const without = takes.filter(({ channels }) => !channels.includes(given)).map(({ file }) => file);
  return {
    tapId: given,
    doubts:
      without.length === 0 ? [] : [{ code: 'reference not in every file', tapId: given, files: without }],
  };
}

/** Tone and fade are part of every response; off centre, the report has to say so. */
function controlsNote(controls: SessionInput['controls']): Reason[] {
  if (controls === undefined) return [];
  const offCentre = Object.entries(controls).flatMap(([control, steps = 0]) =>
    steps === 0 ? [] : [{ control, steps }],
  );
  return [
    offCentre.length === 0
      ? { code: 'controls at centre' }
      : { code: 'controls off centre', controls: offCentre },
  ];
}
