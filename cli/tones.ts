import { BENCH_SHEET_FILE } from '../src/commands/new-job.ts';
import type { Progress } from '../src/commands/progress.ts';
import { stickWav } from '../src/commands/stick-wav.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { benchSheet } from '../src/tones/bench-sheet/bench-sheet.ts';
import { TRACK_RATES_HZ } from '../src/tones/render-track.ts';
import { stickFiles } from '../src/tones/stick-files.ts';
import { findSession } from './find-session.ts';
import { hearSignals } from './hold-signals.ts';
import type { Outcome } from './outcome.ts';
import { beginTogether } from './write-together.ts';

interface TonesArguments {
  readonly outFolder: string;
  readonly rates: readonly number[];
  readonly force: boolean;
  /** Volume settings for the take list; blanks are printed where there are none. */
  readonly settings?: readonly number[] | undefined;
  /** Session file, or its folder, that names taps, recordings and wires for the bench sheet. */
  readonly sessionTarget?: string;
  readonly progress?: Progress;
}

/**
 * Writes the test tracks, the meter tones and the bench sheet, all or none.
 *
 * @throws SteptoneError 'usage' for a rate that is not one of the tracks', 'would-overwrite' before anything is written,
 *   'cannot-write'
 */
export async function tonesCommand({
  outFolder,
  rates,
  force,
  settings,
  sessionTarget,
  progress,
}: TonesArguments): Promise<Outcome> {
  rates.forEach(checkRate);
  const session = sessionTarget === undefined ? undefined : findSession(sessionTarget).written.input;
  const files = [...new Set(rates)].flatMap(stickFiles);
  const names = [...files.map((file) => file.name), BENCH_SHEET_FILE];
  const sheet = benchSheet({ settings, session, files });
  const set = beginTogether({ folder: outFolder, names, force });
  try {
    for (const [done, file] of files.entries()) {
      progress?.(done, files.length, file.name);
      set.add(file.name, stickWav(file));
      await hearSignals();
    }
    set.add(BENCH_SHEET_FILE, sheet);
    set.finish();
  } finally {
    set.abandon();
  }

  return {
    text: [
      `${files.length} sound files for the stick and a bench sheet to print are in ${outFolder}:`,
      ...names.map((name) => `  ${name}`),
      'Full-scale tones harm tweeters and ears: read the cautions on the bench sheet first.',
    ].join('\n'),
    data: { folder: outFolder, files: names },
  };
}

function checkRate(rateHz: number): void {
  if (TRACK_RATES_HZ.some((known) => known === rateHz)) return;
  throw new SteptoneError({
    code: 'usage',
    expected: `a sample rate of ${TRACK_RATES_HZ.join(' or ')} Hz`,
    found: `${rateHz}`,
    where: 'the rates of the test files',
    nextStep: 'leave the rate out: Steptone writes both then',
  });
}
