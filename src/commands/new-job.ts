import { stringify } from 'yaml';
import { NEW_SESSION_DEFAULTS } from '../model/new-session.ts';
import { resolveTaps } from '../model/resolve-taps.ts';
import type { SessionInput } from '../model/session-input.ts';
import { estimatePage } from '../report/sheets/estimate-sheet.ts';
import { benchSheet } from '../tones/bench-sheet/bench-sheet.ts';
import { TRACK_RATES_HZ } from '../tones/render-track.ts';
import { stickFiles } from '../tones/stick-files.ts';
import { ABOVE_SESSION, BELOW_SESSION, openTapLine } from '../words/lines/new-session-words.ts';

export const SESSION_FILE = 'session.yaml';
export const BENCH_SHEET_FILE = 'steptone-bench-sheet.html';
/** For the first call, when nothing is recorded yet. */
export const FIRST_ESTIMATE_FILE = 'steptone-estimate-sheet.html';

/** The session file, the bench sheet and the estimate sheet of a new job, by name. */
export function newJobFiles(session: SessionInput): Readonly<Record<string, string>> {
  return {
    [SESSION_FILE]: newSessionText(session),
    [BENCH_SHEET_FILE]: benchSheet({ session, files: TRACK_RATES_HZ.flatMap(stickFiles) }),
    [FIRST_ESTIMATE_FILE]: estimatePage(session.name ?? NEW_SESSION_DEFAULTS.name, null),
  };
}

/** A session file to begin with: what was answered, and what may be added as comments. */
export function newSessionText(session: SessionInput): string {
  return `${ABOVE_SESSION}${Object.keys(session).length === 0 ? '' : stringify(session)}${BELOW_SESSION}`;
}

/** A name that says neither side nor place is allowed, but the plan then knows less. */
export function openTaps(session: SessionInput): string[] {
  return resolveTaps({ input: session, channelCount: 0, locate: (path) => path.join('.') }).flatMap((tap) => {
    const { id, side, position } = tap;
    const open = [
      ...(position === 'unknown' ? (['position'] as const) : []),
      ...(side === 'unknown' && position !== 'subwoofer' && position !== 'centre' ? (['side'] as const) : []),
    ];
    return open.length === 0 ? [] : [openTapLine({ tapId: id, open })];
  });
}
