import { recordingKindOf } from '../../model/recording-kind.ts';
import { resolveTaps } from '../../model/resolve-taps.ts';
import type { Tap } from '../../model/session.ts';
import type { RecordingInput, SessionInput } from '../../model/session-input.ts';

/** Stands in a file's name for a setting that the recordings themselves will give. */
export const OPEN_SETTING = '___';

/** Taps that are recorded together, a channel each. */
export interface BenchGroup {
  /** A, B, C ... */
  readonly letter: string;
  /** In the order of the channels; empty where the installer fills them in. */
  readonly taps: readonly Tap[];
  /** Name of its recording at a setting; empty where the session does not say. */
  readonly fileAt: (setting: number | null) => string;
  /** The recording that links its arrival times to the first group; null where there is none. */
  readonly link: { readonly tapIds: readonly string[]; readonly fileAt: BenchGroup['fileAt'] } | null;
}

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const NO_NAME = () => '';
/** Front, rear, dash and subwoofer are the most that a factory radio without an amplifier of its own has (common practice). */
const UNNAMED_GROUPS = 4;

/** Pairs to fill in by hand, where no session names the taps yet. */
export function unnamedGroups(): BenchGroup[] {
  return Array.from({ length: UNNAMED_GROUPS }, (_, i) => ({
    letter: LETTERS[i],
    taps: [],
    fileAt: NO_NAME,
    link: i === 0 ? null : { tapIds: [], fileAt: NO_NAME },
  }));
}

/**
 * The groups of a session: each list of channels once. A later list that shares a tap with one before it is the link to
 * that tap of the others. Pairs to fill in where the session names no taps.
 */
export function benchGroups(session: SessionInput): BenchGroup[] {
  const taps = resolveTaps({ input: session, channelCount: 0, locate: (path) => path.join('.') });
  const tapOf = (name: string | null) => taps.find(({ id }) => id === name) ?? [];
  const lists = takesOf(session).map(({ file, channels }) => ({
    file,
    taps: (channels ?? session.channels ?? taps.map(({ id }) => id)).flatMap(tapOf),
  }));
  const seen = new Set<Tap>();
  const groups = lists.filter((list) => {
    const isNew = list.taps.length > 0 && list.taps.every((tap) => !seen.has(tap));
    for (const tap of list.taps) seen.add(tap);
    return isNew;
  });
  if (groups.length === 0) return unnamedGroups();
  const links = lists.filter((list) => !groups.includes(list));
  return groups.map((group, i) => {
    const link = links.find(
      (one) => i > 0 && one.taps.some((tap) => group.taps.includes(tap) && one.taps.length > 1),
    );
    return {
      letter: LETTERS[i] ?? String(i + 1),
      taps: group.taps,
      fileAt: nameAt(group.file),
      link: link === undefined ? null : { tapIds: link.taps.map(({ id }) => id), fileAt: nameAt(link.file) },
    };
  });
}

/** Where no recording is listed: one file a setting, all channels in it. */
function takesOf({ recordings = [] }: SessionInput): RecordingInput[] {
  const forms = recordings.map((entry) => (typeof entry === 'string' ? { file: entry } : entry));
  const takes = forms.filter(({ file, kind }: RecordingInput) => (kind ?? recordingKindOf(file)) === 'takes');
  return takes.length > 0 ? takes : [{ file: 'setting-*.wav' }];
}

/** `pair-b-*.wav` at 10 is pair-b-10.wav, and has a gap where the setting is not known yet. */
function nameAt(pattern: string): BenchGroup['fileAt'] {
  return (setting) => pattern.replace('*', setting === null ? OPEN_SETTING : String(setting));
}
