import { stringify } from 'yaml';
import { resolveTaps } from '../model/resolve-taps.ts';
import type { SessionInput } from '../model/session-input.ts';
import { benchSheet } from '../tones/bench-sheet.ts';
import { TRACK_RATES_HZ } from '../tones/render-track.ts';
import { stickFiles } from '../tones/stick-files.ts';

export const SESSION_FILE = 'session.yaml';
export const BENCH_SHEET_FILE = 'steptone-bench-sheet.html';

const ABOVE = "# Written by steptone new; 'steptone schema session' describes every field.\n";
const BELOW = `
# To add where it is known (in place of the same field above); what is noted of a tap comes back on the sheets:
# taps:
#   - { id: front-left, load: speaker, plus: { colour: white, pin: 3 }, minus: white/black,
#       connector: "grey, 16 pins", note: behind the glove box, photos: [plug.jpg] }
# calibration: { kind: tone, file: tone.wav, voltsRms: 2.1 } # a meter tone as recorded, and what the meter read
# supply: { volts: 12.6 }
# equipmentFile: equipment.yaml
`;

/** The session file and the bench sheet of a new job, by name. */
export function newJobFiles(session: SessionInput): Readonly<Record<string, string>> {
  return {
    [SESSION_FILE]: newSessionText(session),
    [BENCH_SHEET_FILE]: benchSheet({ session, files: TRACK_RATES_HZ.flatMap(stickFiles) }),
  };
}

/** A session file to begin with: what was answered, and what may be added as comments. */
export function newSessionText(session: SessionInput): string {
  return `${ABOVE}${Object.keys(session).length === 0 ? '' : stringify(session)}${BELOW}`;
}

/** A name that says neither side nor place is allowed, but the plan then knows less. */
export function notTold(session: SessionInput): string[] {
  return resolveTaps({ input: session, channelCount: 0, locate: (path) => path.join('.') }).flatMap((tap) => {
    const { id, side, position } = tap;
    const open = [
      ...(position === 'unknown' ? ['position'] : []),
      ...(side === 'unknown' && position !== 'subwoofer' && position !== 'centre' ? ['side'] : []),
    ];
    return open.length === 0
      ? []
      : [`The name ${id} does not tell its ${open.join(' and ')}: write ${example(id, open)} under taps.`];
  });
}

function example(id: string, open: readonly string[]): string {
  const values: Readonly<Record<string, string>> = { position: 'front', side: 'left' };
  return `{ id: ${id}, ${open.map((field) => `${field}: ${values[field]}`).join(', ')} }`;
}
